//! Which keys of a section go together. The reader and the JSON Schema both
//! follow these, so that they agree.

/// A demand on the keys of a section, under a condition.
#[derive(Debug)]
pub struct Rule {
    /// When it holds.
    pub when: Condition,
    /// What it asks.
    pub demand: Demand,
    /// Why, as the end of a sentence.
    pub why: &'static str,
}

/// When a rule holds.
#[derive(Clone, Copy, Debug)]
pub enum Condition {
    /// Always.
    Always,
    /// When the key is given.
    Given(&'static str),
    /// When none of the keys is given.
    NoneGiven(&'static [&'static str]),
    /// When all of the keys are given.
    AllGiven(&'static [&'static str]),
    /// When the key is given and its quantity is not zero.
    NonZero(&'static str),
    /// When the choice of the key, given or by default, is this.
    Is(&'static str, &'static str),
    /// When the choice of the key, given or by default, is another.
    IsNot(&'static str, &'static str),
}

/// What a rule asks of the keys it names.
#[derive(Clone, Copy, Debug)]
pub enum Demand {
    /// All must be given.
    All(&'static [&'static str]),
    /// Exactly one must be given.
    ExactlyOne(&'static [&'static str]),
    /// At most one may be given.
    AtMostOne(&'static [&'static str]),
    /// None may be given.
    None(&'static [&'static str]),
    /// Nothing is assumed for any that is not given.
    NotAssumed(&'static [&'static str]),
    /// All keys of at least one group must be given.
    AnyGroup(&'static [&'static [&'static str]]),
}
