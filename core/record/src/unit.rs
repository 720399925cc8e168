//! Units of measure, their dimensions and the exact factors between them.
//!
//! Factors are exact by definition: the international inch and pound (1959 agreement; NIST Special Publication 811,
//! appendix B.8), the US liquid gallon of 231 cubic inches, and the SI prefixes.

/// What a unit measures; only units of one dimension can be compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "each name says what it measures")]
pub enum Dimension {
    Length,
    Area,
    Volume,
    Mass,
    ArealMass,
    Temperature,
    Time,
    Calendar,
    Count,
    Percent,
    Scale,
    Pressure,
    Voltage,
    Current,
    Resistance,
    Charge,
    Power,
    Torque,
    BendingStiffness,
    Force,
    Speed,
    Angle,
    Conductivity,
    Concentration,
    Density,
    Spread,
    SecondMoment,
    Stiffness,
    StripStiffness,
    LineLoad,
    MassMoment,
    MassPerLength,
    MomentPerLength,
    MassRate,
    AreaRate,
    Slope,
    Picture,
    PictureScale,
    ActivationEnergy,
}

/// One unit: its symbol, its dimension, and its size as an exact fraction of the dimension's base unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unit {
    /// The symbol as it is written in a statement.
    pub symbol: &'static str,
    /// How it is shown.
    pub shown: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// The size in base units: numerator as (digits, decimal places).
    factor: (i128, u32),
    /// The size in base units: denominator.
    divisor: i128,
}

const fn unit(
    symbol: &'static str,
    shown: &'static str,
    dimension: Dimension,
    factor: (i128, u32),
) -> Unit {
    Unit {
        symbol,
        shown,
        dimension,
        factor,
        divisor: 1,
    }
}

use Dimension as D;

/// Every unit that is known, smallest first within a dimension.
pub const UNITS: &[Unit] = &[
    unit("um", "µm", D::Length, (1, 3)),
    unit("mil", "mil", D::Length, (254, 4)),
    unit("mm", "mm", D::Length, (1, 0)),
    unit("cm", "cm", D::Length, (10, 0)),
    unit("in", "in", D::Length, (254, 1)),
    unit("ft", "ft", D::Length, (3048, 1)),
    unit("m", "m", D::Length, (1000, 0)),
    unit("mm2", "mm²", D::Area, (1, 2)),
    unit("cm2", "cm²", D::Area, (1, 0)),
    unit("in2", "in²", D::Area, (64_516, 4)),
    unit("ft2", "ft²", D::Area, (9_290_304, 4)),
    unit("yd2", "yd²", D::Area, (83_612_736, 4)),
    unit("m2", "m²", D::Area, (10_000, 0)),
    unit("mm3", "mm³", D::Volume, (1, 3)),
    unit("ml", "ml", D::Volume, (1, 0)),
    unit("cm3", "cm³", D::Volume, (1, 0)),
    unit("in3", "in³", D::Volume, (16_387_064, 6)),
    unit("fl-oz", "fl oz (US)", D::Volume, (295_735_295_625, 10)),
    unit("pt", "pt (US)", D::Volume, (473_176_473, 6)),
    unit("qt", "qt (US)", D::Volume, (946_352_946, 6)),
    unit("l", "L", D::Volume, (1000, 0)),
    unit("gal", "gal (US)", D::Volume, (3_785_411_784, 6)),
    unit("gal-imp", "gal (imperial)", D::Volume, (454_609, 2)),
    unit("ft3", "ft³", D::Volume, (28_316_846_592, 6)),
    unit("yd3", "yd³", D::Volume, (764_554_857_984, 6)),
    unit("m3", "m³", D::Volume, (1_000_000, 0)),
    unit("g", "g", D::Mass, (1, 0)),
    unit("oz", "oz", D::Mass, (28_349_523_125, 9)),
    unit("lb", "lb", D::Mass, (45_359_237, 5)),
    unit("kg", "kg", D::Mass, (1000, 0)),
    unit("t", "t", D::Mass, (1_000_000, 0)),
    unit("g/m2", "g/m²", D::ArealMass, (1, 0)),
    Unit {
        symbol: "oz/yd2",
        shown: "oz/yd²",
        dimension: D::ArealMass,
        factor: (28_349_523_125, 1),
        divisor: 83_612_736,
    },
    Unit {
        symbol: "oz/ft2",
        shown: "oz/ft²",
        dimension: D::ArealMass,
        factor: (28_349_523_125, 1),
        divisor: 9_290_304,
    },
    unit("kg/m2", "kg/m²", D::ArealMass, (1000, 0)),
    Unit {
        symbol: "lb/ft2",
        shown: "lb/ft²",
        dimension: D::ArealMass,
        // 453.59237 g on 0.09290304 m².
        factor: (45_359_237_000, 0),
        divisor: 9_290_304,
    },
    unit("C", "°C", D::Temperature, (0, 0)),
    unit("F", "°F", D::Temperature, (0, 0)),
    unit("K", "K", D::Temperature, (0, 0)),
    unit("s", "s", D::Time, (1, 0)),
    unit("min", "min", D::Time, (60, 0)),
    unit("h", "h", D::Time, (3600, 0)),
    unit("d", "days", D::Time, (86_400, 0)),
    unit("wk", "weeks", D::Time, (604_800, 0)),
    unit("month", "months", D::Calendar, (1, 0)),
    unit("year", "years", D::Calendar, (12, 0)),
    unit("pcs", "pieces", D::Count, (1, 0)),
    unit("%", "%", D::Percent, (1, 0)),
    unit("scale", "on the scale", D::Scale, (1, 0)),
    unit("Pa", "Pa", D::Pressure, (1, 0)),
    unit("hPa", "hPa", D::Pressure, (100, 0)),
    unit("mbar", "mbar", D::Pressure, (100, 0)),
    unit("kPa", "kPa", D::Pressure, (1000, 0)),
    unit("kN/m2", "kN/m²", D::Pressure, (1000, 0)),
    Unit {
        symbol: "psi",
        shown: "psi",
        dimension: D::Pressure,
        // 4.4482216152605 N on 0.00064516 m².
        factor: (44_482_216_152_605, 5),
        divisor: 64_516,
    },
    unit("bar", "bar", D::Pressure, (100_000, 0)),
    unit("MPa", "MPa", D::Pressure, (1_000_000, 0)),
    unit("GPa", "GPa", D::Pressure, (1_000_000_000, 0)),
    unit("mV", "mV", D::Voltage, (1, 3)),
    unit("V", "V", D::Voltage, (1, 0)),
    unit("mA", "mA", D::Current, (1, 3)),
    unit("A", "A", D::Current, (1, 0)),
    unit("ohm", "Ω", D::Resistance, (1, 0)),
    unit("kohm", "kΩ", D::Resistance, (1000, 0)),
    unit("Mohm", "MΩ", D::Resistance, (1_000_000, 0)),
    unit("Ah", "Ah", D::Charge, (1, 0)),
    unit("W", "W", D::Power, (1, 0)),
    unit("kW", "kW", D::Power, (1000, 0)),
    unit("N.m", "N·m", D::Torque, (1, 0)),
    unit("N.m2", "N·m²", D::BendingStiffness, (1, 0)),
    unit("N", "N", D::Force, (1, 0)),
    unit("lbf", "lbf", D::Force, (44_482_216_152_605, 13)),
    unit("kN", "kN", D::Force, (1000, 0)),
    unit("m/s", "m/s", D::Speed, (1, 0)),
    unit("deg", "°", D::Angle, (1, 0)),
    unit("uS/cm", "µS/cm", D::Conductivity, (1, 3)),
    unit("mS/cm", "mS/cm", D::Conductivity, (1, 0)),
    unit("ppm", "ppm", D::Concentration, (1, 0)),
    unit("kg/m3", "kg/m³", D::Density, (1, 0)),
    Unit {
        symbol: "lb/ft3",
        shown: "lb/ft³",
        dimension: D::Density,
        // 0.45359237 kg in 0.028316846592 m³.
        factor: (453_592_370_000, 0),
        divisor: 28_316_846_592,
    },
    unit("g/cm3", "g/cm³", D::Density, (1000, 0)),
    unit("kg/l", "kg/L", D::Density, (1000, 0)),
    Unit {
        symbol: "ft2/gal",
        shown: "ft²/gal (US)",
        dimension: D::Spread,
        // 0.09290304 m² from 3.785411784 L.
        factor: (92_903_040, 0),
        divisor: 3_785_411_784,
    },
    unit("m2/l", "m²/L", D::Spread, (1, 0)),
    unit("mm4", "mm⁴", D::SecondMoment, (1, 0)),
    unit("cm4", "cm⁴", D::SecondMoment, (10_000, 0)),
    unit("in4", "in⁴", D::SecondMoment, (4_162_314_256, 4)),
    unit("N.mm2", "N·mm²", D::Stiffness, (1, 0)),
    unit("N.mm2/mm", "N·mm²/mm", D::StripStiffness, (1, 0)),
    Unit {
        symbol: "lbf/in",
        shown: "lbf/in",
        dimension: D::LineLoad,
        factor: (44_482_216_152_605, 12),
        divisor: 254,
    },
    unit("N/mm", "N/mm", D::LineLoad, (1, 0)),
    unit("kg.m", "kg·m", D::MassMoment, (1, 0)),
    unit("t.m", "t·m", D::MassMoment, (1000, 0)),
    unit("kg/cm", "kg/cm", D::MassPerLength, (1, 0)),
    unit("t/cm", "t/cm", D::MassPerLength, (1000, 0)),
    unit("kg.m/cm", "kg·m/cm", D::MomentPerLength, (1, 0)),
    unit("t.m/cm", "t·m/cm", D::MomentPerLength, (1000, 0)),
    unit("g/min", "g/min", D::MassRate, (1, 0)),
    unit("m2/h", "m²/h", D::AreaRate, (1, 0)),
    unit("mm/m", "mm/m", D::Slope, (1, 0)),
    unit("px", "px", D::Picture, (1, 0)),
    unit("mm/px", "mm/px", D::PictureScale, (1, 0)),
    unit("kJ/mol", "kJ/mol", D::ActivationEnergy, (1, 0)),
];

/// A hand's habit of units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// Metric units.
    Metric,
    /// US customary units.
    UsCustomary,
}

impl System {
    /// As it is kept: `metric` or `us`.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        match word {
            "metric" => Some(Self::Metric),
            "us" => Some(Self::UsCustomary),
            _ => None,
        }
    }

    /// The unit that says the same in this system; `None` for a unit that belongs to it already, or to both.
    #[must_use]
    pub fn counterpart(self, symbol: &str) -> Option<&'static str> {
        /// Metric units with what is said instead; the first of several is what the other way leads to.
        const PAIRS: &[(&str, &str)] = &[
            ("um", "mil"),
            ("mm", "in"),
            ("cm", "in"),
            ("m", "ft"),
            ("cm2", "in2"),
            ("mm2", "in2"),
            ("m2", "ft2"),
            ("m2", "yd2"),
            ("ml", "fl-oz"),
            ("l", "gal"),
            ("l", "qt"),
            ("l", "pt"),
            ("g", "oz"),
            ("kg", "lb"),
            ("t", "lb"),
            ("g/m2", "oz/yd2"),
            ("g/m2", "oz/ft2"),
            ("C", "F"),
            ("kg/m3", "lb/ft3"),
            ("g/cm3", "lb/ft3"),
            ("m2/l", "ft2/gal"),
            ("kg/m2", "lb/ft2"),
            ("cm3", "in3"),
            ("mm3", "in3"),
            ("m3", "ft3"),
            ("m3", "yd3"),
            ("MPa", "psi"),
            ("kPa", "psi"),
            ("N", "lbf"),
            ("N/mm", "lbf/in"),
        ];
        PAIRS.iter().find_map(|(metric, customary)| match self {
            Self::Metric if *customary == symbol => Some(*metric),
            Self::UsCustomary if *metric == symbol => Some(*customary),
            _ => None,
        })
    }
}

/// Symbols by what is usually measured with them, for forms and checks.
pub mod group {
    /// Lengths and thicknesses.
    pub const LENGTH: &[&str] = &["mm", "cm", "m", "in", "ft", "um", "mil"];
    /// Areas.
    pub const AREA: &[&str] = &["m2", "cm2", "ft2", "in2", "yd2"];
    /// Lengths, areas or counts.
    pub const EXTENT: &[&str] = &[
        "m2", "cm2", "ft2", "in2", "mm", "cm", "m", "in", "ft", "pcs",
    ];
    /// Masses.
    pub const MASS: &[&str] = &["g", "kg", "t", "oz", "lb"];
    /// Areal masses of cloth and laminate.
    pub const AREAL_MASS: &[&str] = &["g/m2", "kg/m2", "oz/yd2", "oz/ft2", "lb/ft2"];
    /// Densities.
    pub const DENSITY: &[&str] = &["kg/m3", "g/cm3", "kg/l", "lb/ft3"];
    /// Pressures and stresses.
    pub const STRESS: &[&str] = &["MPa", "GPa", "kPa", "psi"];
    /// Volumes.
    pub const VOLUME: &[&str] = &["ml", "l", "m3", "fl-oz", "pt", "qt", "gal"];
    /// Lengths of time.
    pub const TIME: &[&str] = &["h", "min", "s", "d", "wk"];
    /// Intervals of upkeep.
    pub const INTERVAL: &[&str] = &["month", "year", "wk", "d", "h"];
    /// Temperatures.
    pub const TEMPERATURE: &[&str] = &["C", "F", "K"];
    /// A share of a whole.
    pub const SHARE: &[&str] = &["%"];
    /// Amounts of a material.
    pub const AMOUNT: &[&str] = &[
        "kg", "g", "l", "ml", "m2", "m", "mm", "pcs", "lb", "oz", "gal", "qt", "pt", "fl-oz",
        "ft2", "yd2", "ft", "in",
    ];
    /// Anything at all.
    pub const ANY: &[&str] = &[];
}

impl Unit {
    /// The unit of this symbol.
    #[must_use]
    pub fn of(symbol: &str) -> Option<&'static Self> {
        UNITS.iter().find(|unit| unit.symbol == symbol)
    }

    /// Whether instruments show it; the others are only reckoned with.
    #[must_use]
    pub fn is_measured(&self) -> bool {
        !matches!(
            self.dimension,
            D::Density
                | D::Spread
                | D::SecondMoment
                | D::Stiffness
                | D::StripStiffness
                | D::LineLoad
                | D::MassMoment
                | D::MassPerLength
                | D::MomentPerLength
                | D::MassRate
                | D::AreaRate
                | D::Picture
                | D::PictureScale
                | D::ActivationEnergy
        )
    }

    /// The exact size of `mantissa / 10^scale` of this unit, as a fraction of the base unit:
    /// numerator, decimal places, denominator. `None` when it has too many digits.
    fn in_base(&self, mantissa: i128, scale: u32) -> Option<(i128, u32, i128)> {
        match self.symbol {
            // Base: tenths of nothing would not do; the Fahrenheit degree holds all three exactly.
            "F" => Some((mantissa, scale, 1)),
            "C" | "K" => {
                let (mantissa, scale) = if self.symbol == "K" {
                    let scale_to = scale.max(2);
                    let raised = mantissa.checked_mul(10_i128.checked_pow(scale_to - scale)?)?;
                    (
                        raised.checked_sub(
                            27_315_i128.checked_mul(10_i128.checked_pow(scale_to - 2)?)?,
                        )?,
                        scale_to,
                    )
                } else {
                    (mantissa, scale)
                };
                let ninths = mantissa.checked_mul(18)?;
                let offset = 32_i128.checked_mul(10_i128.checked_pow(scale.checked_add(1)?)?)?;
                Some((ninths.checked_add(offset)?, scale.checked_add(1)?, 1))
            }
            _ => Some((
                mantissa.checked_mul(self.factor.0)?,
                scale.checked_add(self.factor.1)?,
                self.divisor,
            )),
        }
    }

    /// Compares `a` of this unit with `b` of another, exactly; `None` when they measure different things.
    #[must_use]
    pub fn compare(
        &self,
        a: rust_decimal::Decimal,
        other: &Self,
        b: rust_decimal::Decimal,
    ) -> Option<std::cmp::Ordering> {
        if self.dimension != other.dimension {
            return None;
        }
        let (a, b) = (a.normalize(), b.normalize());
        let (an, a_scale, ad) = self.in_base(a.mantissa(), a.scale())?;
        let (bn, b_scale, bd) = other.in_base(b.mantissa(), b.scale())?;
        let (mut left, mut right) = (an.checked_mul(bd)?, bn.checked_mul(ad)?);
        if a_scale < b_scale {
            left = left.checked_mul(10_i128.checked_pow(b_scale - a_scale)?)?;
        } else {
            right = right.checked_mul(10_i128.checked_pow(a_scale - b_scale)?)?;
        }
        Some(left.cmp(&right))
    }

    /// Converts a value of this unit into another of the same dimension, for showing; rounded at 12 places at most.
    #[must_use]
    pub fn convert(
        &self,
        value: rust_decimal::Decimal,
        to: &Self,
    ) -> Option<rust_decimal::Decimal> {
        if self.dimension != to.dimension {
            return None;
        }
        if self.symbol == to.symbol {
            return Some(value);
        }
        let plain = value.normalize();
        let (n, scale, d) = self.in_base(plain.mantissa(), plain.scale())?;
        let base = rust_decimal::Decimal::try_from_i128_with_scale(n, scale)
            .ok()?
            .checked_div(d.into())?;
        let out = match to.symbol {
            "F" => base,
            "C" => base
                .checked_sub(32.into())?
                .checked_mul(5.into())?
                .checked_div(9.into())?,
            "K" => base
                .checked_sub(32.into())?
                .checked_mul(5.into())?
                .checked_div(9.into())?
                .checked_add(rust_decimal::Decimal::new(27_315, 2))?,
            _ => base.checked_mul(to.divisor.into())?.checked_div(
                rust_decimal::Decimal::try_from_i128_with_scale(to.factor.0, to.factor.1).ok()?,
            )?,
        };
        Some(out.round_dp(12).normalize())
    }
}
