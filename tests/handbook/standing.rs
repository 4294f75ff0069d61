//! What follows of a list of limits: what is told of it, which clock decides, which setting is advised; by hand, from lists and clocks
//! made up for it.

use crate::support::working_set::{self, square, terms};
use approx::assert_relative_eq;
use latchstroke_core::limits::{Clock, Clocks, Does, Limit, Margin, Standing, State};
use latchstroke_core::studies::judge::{Cast, Solid, Verdict, judge};
use latchstroke_models::latch::LatchSetting::{Aside, Set};
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::units::{Angle, Pace};

fn list(of: &[(Limit, f64)]) -> Standing {
    let margin = |&(limit, factor): &(Limit, f64)| Margin {
        limit,
        value: None,
        bound: None,
        reserve: 1.0,
        factor,
        state: if factor >= 1.0 { State::Kept } else { State::Missed },
    };
    Standing { margins: of.iter().map(margin).collect() }
}

#[test]
fn closed_form_what_is_told_of_a_list() {
    let told = |of: &[(Limit, f64)]| list(of).told().map(|margin| margin.limit).collect::<Vec<_>>();
    // The pace alone makes the cooling decide: then the next is told too.
    assert_eq!(
        told(&[(Limit::Solid, 1.1), (Limit::Skin, 1.5), (Limit::Bulk, 2.0)]),
        [Limit::Solid, Limit::Skin]
    );
    assert_eq!(told(&[(Limit::Solid, 0.9), (Limit::Skin, 1.5)]), [Limit::Solid]);
    assert_eq!(told(&[(Limit::Skin, 1.1), (Limit::Solid, 1.5)]), [Limit::Skin]);
    // A limit of the machine is the cause of what the cast misses, be that missed by more.
    let cause = |of: &[(Limit, f64)]| list(of).cause().map(|margin| margin.limit);
    let lost = [(Limit::Skin, 0.5), (Limit::LatchTrips, 0.9), (Limit::Bulk, 1.2)];
    assert_eq!(cause(&lost), Some(Limit::LatchTrips));
    assert_eq!(cause(&[(Limit::Skin, 0.5), (Limit::LatchTrips, 1.1)]), Some(Limit::Skin));
    assert_eq!(cause(&[(Limit::Skin, 1.5)]), None);
    assert_eq!(list(&lost).in_the_way().count(), 2);
    assert_relative_eq!(list(&lost).factor_of(Limit::is_clock), 0.5);
    assert!(list(&lost).factor_of(|limit| limit == Limit::Solid).is_infinite());
}

#[test]
fn closed_form_the_least_clock_decides() {
    for (times, clock) in [
        ([1.0, 2.0, 3.0], Clock::Lapping),
        ([2.0, 1.0, 3.0], Clock::Skin),
        ([3.0, 1.0, 2.0], Clock::Skin),
        ([2.0, 3.0, 1.0], Clock::Bulk),
        ([3.0, 2.0, 1.0], Clock::Bulk),
        // Of equal ones that named first.
        ([1.0, 1.0, 1.0], Clock::Lapping),
        ([2.0, 1.0, 1.0], Clock::Skin),
    ] {
        let [lapping, skin, bulk] = times;
        let clocks = Clocks { lapping, skin, bulk, splashed_film: 0.5, allowed: 0.5, skin_allowed: 3e-4 };
        assert_eq!((clocks.deciding(), clocks.of_clock(clock)), (clock, 1.0));
    }
}

/// The time allowed is the least clock over the margin, as the whole list and the short one have it; a fill that is late by another
/// clock is not asked for its skin.
#[test]
fn closed_form_time_allowed_is_the_least_clock_over_the_margin() {
    let machine = working_set::machine(24.0, 12.0, Set);
    let mut acceptance = terms().acceptance;
    acceptance.margin = 2.0;
    // A skin of 0.5 mm decides where some solid is accepted, the lap where none is.
    for (solid, decides) in [(0.5, Clock::Skin), (0.0, Clock::Lapping)] {
        acceptance.solid = solid;
        let clocks = Clocks::of(&machine, acceptance);
        assert_eq!(clocks.deciding(), decides, "{clocks:?}");
        let least = clocks.lapping.min(clocks.bulk).min(clocks.skin);
        assert_relative_eq!(clocks.allowed, least / 2.0, max_relative = 1e-12);
        assert!(clocks.skin_allowed < acceptance.skin && clocks.skin_allowed >= 0.0);
        let late = Clocks::late(&machine, acceptance);
        assert_relative_eq!(late, clocks.lapping.min(clocks.bulk) / 2.0, max_relative = 1e-12);
        let asked = Clocks::for_fill(&machine, acceptance, 0.99 * late);
        assert_relative_eq!(asked.allowed, clocks.allowed.min(late), max_relative = 1e-12);
        let not = Clocks::for_fill(&machine, acceptance, 1.01 * late);
        assert_eq!((not.skin, not.allowed), (f64::INFINITY, late));
    }
}

#[test]
fn closed_form_verdict_follows_from_what_both_settings_do() {
    use Does::{No, NotKnown, Yes};
    for (aside, set, verdict) in [
        (Yes, Yes, Verdict::LeaveAside),
        (Yes, No, Verdict::LeaveAside),
        (Yes, NotKnown, Verdict::LeaveAside),
        (No, Yes, Verdict::Set),
        (No, No, Verdict::Neither),
        (No, NotKnown, Verdict::NotKnown),
        (NotKnown, Yes, Verdict::NotKnown),
        (NotKnown, No, Verdict::NotKnown),
        (NotKnown, NotKnown, Verdict::NotKnown),
    ] {
        assert_eq!(Verdict::by(aside, set), verdict);
    }
}

/// Where no setting will do, the one nearer to it is advised, of equals the simpler; a turn that is not to be trusted is near to nothing.
#[test]
fn closed_form_the_nearer_setting_is_advised_where_none_will_do() {
    let cast = Cast { sort: square(24.0), pace: Pace(0.2) };
    let mut judgement = judge(&MachineStatement::demo(), cast, &terms()).expect("valid");
    assert!(judgement.can_be_cast() && judgement.advised() == Set);
    judgement.verdict = Verdict::Neither;
    for (aside, set, advised) in [(0.5, 0.6, Set), (0.6, 0.5, Aside), (0.5, 0.5, Aside)] {
        judgement.standings = [list(&[(Limit::Skin, aside)]), list(&[(Limit::Bulk, set)])];
        assert_eq!(judgement.advised(), advised);
        let decides = if advised == Set { Limit::Bulk } else { Limit::Skin };
        assert_eq!(judgement.deciding().map(|margin| margin.limit), Some(decides));
        assert!(!judgement.can_be_cast() && !judgement.is_untrusted());
    }
    judgement.verdict = Verdict::NotKnown;
    assert!(!judgement.can_be_cast() && judgement.is_untrusted());
}

/// A quarter of a turn at half a turn a second is half a second.
#[test]
fn closed_form_the_mould_stays_shut_for_its_share_of_the_turn() {
    let solid = Solid::at(None, Angle(0.5 * std::f64::consts::PI), Pace(0.5));
    assert_relative_eq!(solid.shut, 0.5, max_relative = 1e-12);
    assert_eq!((solid.in_time(), solid.margin().factor, solid.margin().reserve), (false, 0.0, 1.0));
    for (time, in_time) in [(0.4, true), (0.5, true), (0.6, false)] {
        assert_eq!(Solid { time: Some(time), shut: 0.5 }.in_time(), in_time);
    }
}
