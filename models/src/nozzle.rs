//! Channel and nozzle: the column of metal between well and mould.
//!
//! I·dQ/dt = p − p_cav − ½ρ·Q|Q|/A_n²·(1 + K + f·L_n/d_n) − ½ρ·Q|Q|/A_ch²·f_ch·L_ch/d_ch, I = ρ·(L_n/A_n + L_ch/A_ch), with
//! the Darcy friction factor f(Re) of a smooth pipe, in each of the two bores at its own Reynolds number. In a channel three
//! times as wide as the nozzle friction takes some 0.2 % of the whole loss, in one as narrow as the nozzle a third to a half.
//!
//! Left out: the way by which a flow that has just begun comes to its full friction.

use crate::fault::{Faults, Sentence, Word};
use crate::field;
use crate::units::Length;
use std::f64::consts::PI;

/// Channel and nozzle as an owner states them.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct NozzleStatement {
    /// Bore d_n of the nozzle.
    pub bore: Length,
    /// Length L_n of the nozzle.
    pub length: Length,
    /// Loss coefficient K besides the jet's own velocity head and wall friction.
    pub loss: f64,
    /// Bore of the channel from the well.
    pub channel_bore: Length,
    /// Length L_ch of the channel.
    pub channel_length: Length,
}

/// A straight round bore: what friction takes in it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Bore {
    /// ½ρ/A², Pa·s²/m⁶: velocity head for each square of flow.
    head: f64,
    /// L/d.
    slenderness: f64,
    /// Reynolds number for each m³/s.
    reynolds_per_flow: f64,
    /// ln(7/Re) at a flow of 1 m³/s.
    log_at_one: f64,
}

impl Bore {
    fn new(bore: f64, length: f64, density: f64, viscosity: f64) -> Self {
        let area = PI / 4.0 * bore * bore;
        let reynolds_per_flow = 4.0 * density / (PI * bore * viscosity);
        Self {
            head: 0.5 * density / (area * area),
            slenderness: length / bore,
            reynolds_per_flow,
            log_at_one: libm::log(7.0 / reynolds_per_flow),
        }
    }

    fn is_laminar(&self, q: f64) -> bool {
        self.reynolds_per_flow * q.abs() < LAMINAR
    }

    /// Pressure lost to friction, and to `heads` velocity heads besides, at flow `q` (m³/s), Pa, with the sign of the flow; and its
    /// slope by flow, Pa·s/m³. `log` is ln|q|, which bores in line share; where the flow is laminar nothing hangs on it.
    #[expect(clippy::inline_always, reason = "what a caller does not use is then not worked out")]
    #[inline(always)]
    fn loss(&self, q: f64, log: f64, heads: f64) -> (f64, f64) {
        let speed = q.abs();
        if self.is_laminar(q) {
            // f = 64/Re makes the friction linear in the flow; written so that it stays finite at rest.
            let friction = 64.0 / self.reynolds_per_flow * self.slenderness;
            return (
                self.head * q * (speed * heads + friction),
                self.head * (2.0 * speed * heads + friction),
            );
        }
        let (factor, by_log) = friction(self.reynolds_per_flow * speed, self.log_at_one - log);
        let all = heads + factor * self.slenderness;
        (self.head * q * speed * all, self.head * speed * (2.0 * all + by_log * self.slenderness))
    }
}

/// A prepared channel and nozzle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nozzle {
    /// A_n, m².
    pub area: f64,
    /// Inertance I, kg/m⁴.
    pub inertance: f64,
    loss: f64,
    narrow: Bore,
    channel: Bore,
}

impl Nozzle {
    /// `density` (kg/m³) and `viscosity` (Pa·s) of the metal.
    pub(crate) fn prepare(
        stated: &NozzleStatement,
        density: f64,
        viscosity: f64,
        faults: &mut Faults,
    ) -> Self {
        let bore = faults.positive(field!(NozzleStatement, bore), stated.bore.0);
        let length = faults.positive(field!(NozzleStatement, length), stated.length.0);
        let channel_bore = faults.positive(field!(NozzleStatement, channel_bore), stated.channel_bore.0);
        let channel_length =
            faults.not_negative(field!(NozzleStatement, channel_length), stated.channel_length.0);
        if bore > channel_bore {
            let (own, of_channel) = (field!(NozzleStatement, bore), field!(NozzleStatement, channel_bore));
            let right = if length < channel_bore {
                let length = Word::Value(field!(NozzleStatement, length), length);
                Sentence::of("are bore and length ({}) of the nozzle exchanged?", [length])
            } else {
                let most = Word::Figure(own, channel_bore);
                Sentence::of("it must be no more than {}: the nozzle is the narrow end", [most])
            };
            let both = [Word::Value(own, bore), Word::Value(of_channel, channel_bore)];
            let what = "the bore of the nozzle is {}, wider than that of the channel, which is {}";
            faults.add(own, Sentence::of(what, both), right);
        }
        let area = PI / 4.0 * bore * bore;
        let channel_area = PI / 4.0 * channel_bore * channel_bore;
        Self {
            area,
            inertance: density * (length / area + channel_length / channel_area),
            loss: faults.not_negative(field!(NozzleStatement, loss), stated.loss),
            narrow: Bore::new(bore, length, density, viscosity),
            channel: Bore::new(channel_bore, channel_length, density, viscosity),
        }
    }

    /// Reynolds number ρ·v·d_n/μ in the nozzle at flow `q` (m³/s).
    pub fn reynolds(&self, q: f64) -> f64 {
        self.narrow.reynolds_per_flow * q.abs()
    }

    /// Pressure lost between well and mould at flow `q` (m³/s), Pa, with the sign of the flow.
    pub fn pressure_loss(&self, q: f64) -> f64 {
        self.loss_and_slope(q).0
    }

    /// Slope of the pressure loss by flow at `q` (m³/s), Pa·s/m³.
    pub fn loss_slope(&self, q: f64) -> f64 {
        self.loss_and_slope(q).1
    }

    #[expect(clippy::inline_always, reason = "what a caller does not use is then not worked out")]
    #[inline(always)]
    fn loss_and_slope(&self, q: f64) -> (f64, f64) {
        let laminar = self.narrow.is_laminar(q) && self.channel.is_laminar(q);
        let log = if laminar { 0.0 } else { libm::log(q.abs()) };
        let (narrow, channel) = (self.narrow.loss(q, log, 1.0 + self.loss), self.channel.loss(q, log, 0.0));
        (narrow.0 + channel.0, narrow.1 + channel.1)
    }
}

/// Below this Reynolds number Churchill's formula is 64/Re to the last digit of a double.
const LAMINAR: f64 = 800.0;

/// Darcy friction factor of a smooth pipe at Reynolds number `re` > 0, laminar to turbulent in one smooth curve.
///
/// f = 8·((8/Re)¹² + 1/(A + B)^1.5)^(1/12), A = (−2.457·ln((7/Re)^0.9))¹⁶, B = (37530/Re)¹⁶.
///
/// Source: S. W. Churchill, *Chemical Engineering* 84 (7 November 1977) 91, zero roughness.
pub fn friction_factor(re: f64) -> f64 {
    friction(re, libm::log(7.0 / re)).0
}

/// The twelfth root of a number from 1 to 10⁶, to some units of the last digit and for a fifth of what pow costs: Halley's iteration, of
/// third order, three times, from a guess good to 7 %, the twelfth part of the number's exponent and fraction as they stand in a double.
fn twelfth_root(number: f64) -> f64 {
    const ONE: u64 = 1.0_f64.to_bits();
    let mut root = f64::from_bits(ONE + (number.to_bits() - ONE) / 12);
    for _ in 0..3 {
        let third = root * root * root;
        let power = (third * third) * (third * third);
        root *= (11.0 * power + 13.0 * number) / (13.0 * power + 11.0 * number);
    }
    root
}

/// The friction factor and Re·df/dRe; `log` is ln(7/Re).
#[expect(clippy::inline_always, reason = "what a caller does not use is then not worked out")]
#[inline(always)]
fn friction(re: f64, log: f64) -> (f64, f64) {
    let inverse = 1.0 / re;
    let a = (2.457 * 0.9 * log).powi(16);
    let b = (37530.0 * inverse).powi(16);
    let sum = a + b;
    let root = sum.sqrt();
    // f = 8·(A + B)^(−1/8)·(1 + x)^(1/12) = 64/Re·(1 + 1/x)^(1/12), x the laminar share; of a last factor near one two terms are exact.
    let x = (8.0 * inverse).powi(12) * sum * root;
    let near_one = |x: f64| 1.0 + x / 12.0 * (1.0 - 11.0 / 24.0 * x);
    let factor = if x > 1e5 {
        64.0 * inverse * near_one(1.0 / x)
    } else {
        let rise = if x < 1e-5 { near_one(x) } else { twelfth_root(1.0 + x) };
        8.0 / root.sqrt().sqrt() * rise
    };
    (factor, factor / (1.0 + x) * (2.0 * (a / log + b) / sum - x))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: its twelfth power is the number again.
    #[test]
    fn closed_form_the_twelfth_root_of_a_twelfth_power() {
        for n in 0..=2000 {
            let root = 1.0 + 1.16 * f64::from(n) / 1000.0;
            let off = twelfth_root(root.powi(12)) / root - 1.0;
            assert!(off.abs() < 1e-15, "{root}: {off:e}");
        }
    }

    /// Churchill's formula as it is printed.
    fn churchill(re: f64) -> f64 {
        let a = libm::pow(-2.457 * libm::log(libm::pow(7.0 / re, 0.9)), 16.0);
        let b = libm::pow(37530.0 / re, 16.0);
        8.0 * libm::pow(libm::pow(8.0 / re, 12.0) + libm::pow(a + b, -1.5), 1.0 / 12.0)
    }

    #[test]
    fn closed_form_the_friction_factor_is_the_printed_formula() {
        for n in 0..20_000 {
            let re = libm::exp(f64::from(n) * 1e-3 - 1.0);
            let (ours, printed) = (friction_factor(re), churchill(re));
            assert!((ours / printed - 1.0).abs() < 1e-12, "{re}: {ours} {printed}");
        }
    }

    /// A nozzle of 2 mm by 10 mm in a channel of 8 mm by 120 mm, metal of 9700 kg/m³ and 2.2 mPa·s, from rest to a hundred metres a second.
    #[test]
    fn closed_form_what_is_lost_is_friction_in_both_bores_and_heads_in_the_nozzle() {
        let (density, viscosity, loss) = (9_700.0, 2.2e-3, 0.7);
        let [bore, length, channel_bore, channel_length] = [2e-3, 10e-3, 8e-3, 120e-3];
        let stated = NozzleStatement {
            bore: Length(bore),
            length: Length(length),
            loss,
            channel_bore: Length(channel_bore),
            channel_length: Length(channel_length),
        };
        let mut faults = Faults::default();
        let nozzle = Nozzle::prepare(&stated, density, viscosity, &mut faults);
        faults.settle(()).expect("a nozzle");
        let lost = |q: f64| {
            let in_bore = |bore: f64, length: f64, heads: f64| {
                let speed = 4.0 * q / (PI * bore * bore);
                let friction = churchill(density * speed * bore / viscosity) * length / bore;
                0.5 * density * speed * speed * (heads + friction)
            };
            in_bore(bore, length, 1.0 + loss) + in_bore(channel_bore, channel_length, 0.0)
        };
        for n in 0..2_000 {
            let q = libm::exp(f64::from(n) * 8e-3 - 24.0);
            let (ours, slope) = (nozzle.pressure_loss(q), nozzle.loss_slope(q));
            assert!((ours / lost(q) - 1.0).abs() < 1e-11, "{q}: {ours} {}", lost(q));
            // The other way it is the same, turned about.
            assert_eq!(nozzle.pressure_loss(-q).to_bits(), (-ours).to_bits());
            assert_eq!(nozzle.loss_slope(-q).to_bits(), slope.to_bits());
            assert!(
                (nozzle.reynolds(-q) / (4.0 * density * q / (PI * bore * viscosity)) - 1.0).abs() < 1e-12
            );
            let by_difference =
                (nozzle.pressure_loss(1.0001 * q) - nozzle.pressure_loss(0.9999 * q)) / (2e-4 * q);
            assert!((slope / by_difference - 1.0).abs() < 1e-5, "{q}: {slope} {by_difference}");
        }
    }
}
