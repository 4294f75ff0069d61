//! Quantities as an owner states them, each a plain SI number behind the name of its kind.
//!
//! The kinds exist for the boundary only: a part's statement takes a [`Length`] where it means a length, so a force cannot
//! be handed over by mistake. A prepared part holds plain `f64` in SI.

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident($unit:literal);)*) => {$(
        $(#[$doc])*
        #[doc = concat!("\n\nThe number is in ", $unit, ".")]
        #[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd)]
        pub struct $name(pub f64);
    )*};
}

kinds! {
    /// A length, a lift or a travel.
    Length("m");
    /// An angle of the main shaft.
    Angle("rad");
    /// A mass.
    Mass("kg");
    /// A force.
    Force("N");
    /// A spring or contact stiffness.
    Stiffness("N/m");
    /// A force per speed.
    Damping("N·s/m");
    /// A moment of inertia.
    MomentOfInertia("kg·m²");
    /// A pressure, a stress or a modulus.
    Pressure("Pa");
    /// A volume.
    Volume("m³");
    /// A volume that flows in a time.
    VolumeFlow("m³/s");
    /// An area.
    Area("m²");
    /// A density.
    Density("kg/m³");
    /// A dynamic viscosity.
    Viscosity("Pa·s");
    /// A span of time.
    Time("s");
    /// A speed.
    Speed("m/s");
    /// The machine's pace, one cast a turn.
    Pace("turns/s");
    /// A temperature on the absolute scale.
    Temperature("K");
    /// A heat transfer coefficient.
    HeatTransfer("W/(m²·K)");
    /// A flow of heat per kelvin of difference.
    ThermalConductance("W/K");
    /// A thermal conductivity.
    Conductivity("W/(m·K)");
    /// A specific heat.
    SpecificHeat("J/(kg·K)");
    /// A heat of fusion.
    LatentHeat("J/kg");
}

/// The American and British point, 0.013837 in, in metres.
///
/// Source: US type founders' standard as given in NIST Handbook 44, Appendix C.
pub const POINT: f64 = 0.013837 * 0.0254;
