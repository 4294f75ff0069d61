//! The module's side of the page: three functions, called in this order for each request.
//!
//! `request_room(length)` answers where to put the request's bytes, `answer()` answers it and how long the answer is, and
//! `answer_place()` where it stands until the next request. The memory is the module's own throughout, so that no unsafe block
//! is needed; the page has one thread for each module.
#![allow(unsafe_code, reason = "a name can be exported only by #[unsafe(no_mangle)]")]

use crate::Session;
use std::cell::RefCell;

thread_local! {
    static SESSION: RefCell<Session> = RefCell::default();
    static REQUEST: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
    static ANSWER: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Room for a request of so many bytes.
#[unsafe(no_mangle)]
pub extern "C" fn request_room(length: usize) -> *mut u8 {
    REQUEST.with_borrow_mut(|request| {
        request.clear();
        request.resize(length, 0);
        request.as_mut_ptr()
    })
}

/// Answers the request, and how many bytes the answer has.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> usize {
    let told = REQUEST.with_borrow(|request| SESSION.with_borrow_mut(|session| session.answer(request)));
    ANSWER.with_borrow_mut(|answer| {
        *answer = told;
        answer.len()
    })
}

/// Where the answer stands.
#[unsafe(no_mangle)]
pub extern "C" fn answer_place() -> *const u8 {
    ANSWER.with_borrow(|answer| answer.as_ptr())
}
