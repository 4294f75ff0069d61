//! Many turns on all cores with the feature `parallel`, one after another without it: the same answers in the same order.

/// What a study that turns many machines brings in.
pub mod prelude {
    #[cfg(not(feature = "parallel"))]
    pub use super::in_turn::{InTurn, IntoInTurn};
    #[cfg(feature = "parallel")]
    pub use rayon::prelude::*;
}

/// The names of the parallel iterators for those that work one after another.
#[cfg(not(feature = "parallel"))]
mod in_turn {
    /// Over what is borrowed.
    pub trait InTurn<T> {
        /// Its elements one after another.
        fn par_iter(&self) -> std::slice::Iter<'_, T>;
    }

    impl<T> InTurn<T> for [T] {
        fn par_iter(&self) -> std::slice::Iter<'_, T> {
            self.iter()
        }
    }

    /// Over what is handed over.
    pub trait IntoInTurn: IntoIterator + Sized {
        /// Its elements one after another.
        fn into_par_iter(self) -> Self::IntoIter {
            self.into_iter()
        }
    }

    impl<I: IntoIterator> IntoInTurn for I {}
}
