//! Where the value of a key goes: the one place that ties a key to a field of a statement.

use super::SECTIONS;
use crate::stated::{Slot, Stated};
use latchstroke_models::fault::Field;

/// The field that a key states.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sets {
    /// Its name, and those of others that follow from it.
    pub fields: &'static [Field],
    /// Where it stands.
    pub place: for<'a> fn(&'a mut Stated) -> Option<&'a mut dyn Slot>,
}

/// For a remark, or for a part of what the reader puts together as the value of another key.
pub(super) const NO_FIELD: Sets = Sets { fields: &[], place: |_| None };

/// The field that a key states, and where: `Owner.field: place` is a field of the struct at a place of [`Stated`],
/// `Owner::Variant.field: place` one of the enum there, and `Owner.field => place` goes by another place altogether. A tuple's variant
/// takes the place of what stands there, and so does one that says what it begins as, with `or`. What follows from the same key is named
/// after a `|`.
macro_rules! sets {
    ($owner:ident . $field:ident $(| $also:ident . $alias:tt)* : $($place:tt)+) => {
        sets!(@ [$owner, $field $(; $also, $alias)*] |stated| Some(&mut stated.$($place)+.$field))
    };
    ($owner:ident . $field:ident => $($place:tt)+) => {
        sets!(@ [$owner, $field] |stated| Some(&mut stated.$($place)+))
    };
    ($owner:ident :: $variant:ident . 0 $(| $also:ident . $alias:tt)* : $($place:tt)+) => {
        sets!(@ [$owner::$variant, 0 $(; $also, $alias)*] |stated| {
            let place = &mut stated.$($place)+;
            if !matches!(place, $owner::$variant(_)) {
                *place = $owner::$variant(Default::default());
            }
            match place {
                $owner::$variant(field) => Some(field),
                _ => None,
            }
        })
    };
    ($owner:ident :: $variant:ident . $field:ident $(or $blank:ident)? : $($place:tt)+) => {
        sets!(@ [$owner::$variant, $field] |stated| {
            let place = &mut stated.$($place)+;
            $(if !matches!(place, $owner::$variant { .. }) {
                *place = $blank;
            })?
            match place {
                $owner::$variant { $field: field, .. } => Some(field),
                _ => None,
            }
        })
    };
    (@ [$($owner:ident $(:: $variant:ident)?, $field:tt);+] $place:expr) => {
        $crate::catalogue::Sets {
            fields: const { &[$(latchstroke_models::field!($owner $(:: $variant)?, $field)),+] },
            place: $place,
        }
    };
}

pub(super) use sets;

const fn same(one: &str, other: &str) -> bool {
    let (one, other) = (one.as_bytes(), other.as_bytes());
    let mut n = 0;
    while n < one.len() && n < other.len() && one[n] == other[n] {
        n += 1;
    }
    n == one.len() && n == other.len()
}

/// Section and key that state a field; of several, the first. [`key!`](crate::key) asks as it is compiled.
///
/// # Panics
/// When no key states it.
pub const fn key_of(field: Field) -> (&'static str, &'static str) {
    let (owner, name) = field.names();
    let mut s = 0;
    while s < SECTIONS.len() {
        let entries = SECTIONS[s].entries;
        let mut e = 0;
        while e < entries.len() {
            let fields = entries[e].sets.fields;
            let mut f = 0;
            while f < fields.len() {
                let names = fields[f].names();
                if same(names.0, owner) && same(names.1, name) {
                    return (SECTIONS[s].name, entries[e].key);
                }
                f += 1;
            }
            e += 1;
        }
        s += 1;
    }
    panic!("no key of the catalogue states this field")
}

/// A full key such as `cam.lift`, of so many bytes, for [`key!`](crate::key).
pub const fn joined<const LENGTH: usize>((section, key): (&str, &str)) -> [u8; LENGTH] {
    let mut all = [b'.'; LENGTH];
    all.split_at_mut(section.len()).0.copy_from_slice(section.as_bytes());
    all.split_at_mut(section.len() + 1).1.copy_from_slice(key.as_bytes());
    all
}

/// The full key that states a field of a statement, such as `cam.lift`: a key is spelled in the catalogue, and asked for by its field
/// everywhere else. A field that is not there or that no key states does not build.
///
/// ```
/// use latchstroke_models::cam::CamStatement;
/// use latchstroke_scenario::key;
///
/// assert_eq!(key!(CamStatement::Law, fall), "cam.return");
/// ```
///
/// ```compile_fail
/// use latchstroke_models::machine::MachineStatement;
/// latchstroke_scenario::key!(MachineStatement, springs);
/// ```
#[macro_export]
macro_rules! key {
    ($owner:ident $(:: $variant:ident)?, $field:tt) => {{
        const PARTS: (&str, &str) = $crate::catalogue::key_of($crate::field!($owner $(:: $variant)?, $field));
        const LENGTH: usize = PARTS.0.len() + 1 + PARTS.1.len();
        const JOINED: [u8; LENGTH] = $crate::catalogue::joined(PARTS);
        const KEY: &str = match std::str::from_utf8(&JOINED) {
            Ok(key) => key,
            Err(_) => panic!("two texts joined are text"),
        };
        KEY
    }};
}
