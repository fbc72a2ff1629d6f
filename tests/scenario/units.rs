//! Quantities with units read to their exact SI values, and what is no quantity is refused with a repair.

use std::f64::consts::{PI, TAU};

use beatwright::units::{Kind, QuantityError, quantity_in_si};
use proptest::prelude::*;

fn value(text: &str, kind: Kind) -> f64 {
    quantity_in_si(text, kind).unwrap_or_else(|error| panic!("{text}: {error}"))
}

#[test]
fn exact_values_of_all_kinds() {
    let table = [
        ("40 mm", Kind::Length, 0.04),
        ("994mm", Kind::Length, 0.994),
        ("1.5e2 cm", Kind::Length, 1.5),
        ("1 in", Kind::Length, 0.0254),
        ("5 µm", Kind::Length, 5e-6),
        ("-10 mm", Kind::Length, -0.01),
        ("2.4 kg", Kind::Mass, 2.4),
        ("260 g", Kind::Mass, 0.26),
        ("1 t", Kind::Mass, 1000.0),
        ("180 deg", Kind::Angle, PI),
        ("30°", Kind::Angle, PI / 6.0),
        ("60 arcmin", Kind::Angle, PI / 180.0),
        ("5 mrad", Kind::Angle, 0.005),
        ("2 turns", Kind::Angle, 2.0 * TAU),
        ("16 turns", Kind::Turns, 16.0),
        ("12 h", Kind::Time, 43_200.0),
        ("2 days", Kind::Time, 172_800.0),
        ("9.80665 m/s^2", Kind::Acceleration, 9.80665),
        ("9.80665 m s^-2", Kind::Acceleration, 9.80665),
        ("9.80665 m/s²", Kind::Acceleration, 9.80665),
        ("9.80665 m/s/s", Kind::Acceleration, 9.80665),
        ("1 kg m^2", Kind::Inertia, 1.0),
        ("1 kg*m^2", Kind::Inertia, 1.0),
        ("1 kg·m²", Kind::Inertia, 1.0),
        ("0 N m/rad", Kind::Stiffness, 0.0),
        ("3 N m", Kind::Stiffness, 3.0),
        ("1 N m s", Kind::DampingLinear, 1.0),
        ("1 N m s/rad", Kind::DampingLinear, 1.0),
        ("1 N m/(rad/s)", Kind::DampingLinear, 1.0),
        ("1 N m s^2", Kind::DampingQuadratic, 1.0),
        ("1 N m s^2/rad^2", Kind::DampingQuadratic, 1.0),
        ("1 mN m", Kind::Torque, 0.001),
        ("1 mJ", Kind::Energy, 0.001),
        ("1 mrad/s", Kind::AngularSpeed, 0.001),
        ("30 rpm", Kind::AngularSpeed, PI),
        ("20 degC", Kind::Temperature, 20.0),
        ("20 °C", Kind::Temperature, 20.0),
        ("273.15 K", Kind::Temperature, 0.0),
        ("101325 Pa", Kind::Pressure, 101_325.0),
        ("1013 hPa", Kind::Pressure, 101_300.0),
        ("200 GPa", Kind::Pressure, 200e9),
        ("50 %", Kind::Fraction, 0.5),
        ("1240 kg/m^3", Kind::Density, 1240.0),
        ("1.24 g/cm^3", Kind::Density, 1240.0),
        ("10 N", Kind::Force, 10.0),
        ("32.768 kHz", Kind::Frequency, 32_768.0),
        ("1 ppm/year", Kind::RelativeDrift, 1e-6 / 31_557_600.0),
        ("-0.034 ppm/K^2", Kind::PerKelvinSquared, -0.034e-6),
        ("5 K", Kind::TemperatureDifference, 5.0),
        ("4 mA", Kind::Current, 0.004),
        ("2 A h", Kind::Charge, 7200.0),
        ("1.5 V", Kind::Voltage, 1.5),
        ("1 kohm", Kind::Resistance, 1000.0),
        ("200 Ω", Kind::Resistance, 200.0),
        ("3 V/A", Kind::Resistance, 3.0),
        ("2 mW", Kind::Power, 0.002),
        ("3 m/min", Kind::Speed, 0.05),
    ];
    for (text, kind, expected) in table {
        let found = value(text, kind);
        assert!((found - expected).abs() <= 4.0 * f64::EPSILON * f64::abs(expected), "{text}: {found} for {expected}");
    }
}

#[test]
fn exact_decimal_millimetres_and_grams_carry_no_rounding() {
    assert_eq!(value("40 mm", Kind::Length), 0.04);
    assert_eq!(value("994 mm", Kind::Length), 0.994);
    assert_eq!(value("3.2 kg", Kind::Mass), 3.2);
    assert_eq!(value("95 g", Kind::Mass), 0.095);
    assert_eq!(value("1 mN m", Kind::Torque), 1e-3);
    assert_eq!(value("60 %", Kind::Fraction), 0.6);
}

#[test]
fn each_example_is_of_its_kind() {
    for kind in Kind::ALL {
        assert!(quantity_in_si(kind.example(), kind).is_ok(), "{kind:?}: {}", kind.example());
    }
}

#[test]
fn what_is_no_quantity_is_refused_with_its_cause() {
    let error = |text: &str, kind| quantity_in_si(text, kind).unwrap_err();
    assert!(matches!(error("", Kind::Length), QuantityError::NoNumber { .. }));
    assert!(matches!(error("mm 4", Kind::Length), QuantityError::NoNumber { .. }));
    assert!(matches!(error("nan mm", Kind::Length), QuantityError::NoNumber { .. }));
    assert!(matches!(error("inf mm", Kind::Length), QuantityError::NoNumber { .. }));
    assert!(matches!(error("4", Kind::Length), QuantityError::NoUnit { .. }));
    assert!(matches!(error("1,5 mm", Kind::Length), QuantityError::DecimalComma { .. }));
    assert!(matches!(error("1e999 mm", Kind::Length), QuantityError::NotFinite { .. }));
    assert!(matches!(error("1e308 Gm", Kind::Length), QuantityError::NotFinite { .. }));
    assert!(matches!(error("4 furlong", Kind::Length), QuantityError::UnknownUnit { .. }));
    assert!(matches!(error("4 m m", Kind::Length), QuantityError::WrongKind { .. }));
    assert!(matches!(error("4 m^99", Kind::Length), QuantityError::MalformedUnit { .. }));
    assert!(matches!(error("4 m/", Kind::Length), QuantityError::MalformedUnit { .. }));
    assert!(matches!(error("4 (m", Kind::Length), QuantityError::MalformedUnit { .. }));
    assert!(matches!(error("4 m)", Kind::Length), QuantityError::MalformedUnit { .. }));
    assert!(matches!(error("4 J/degC", Kind::Energy), QuantityError::UnknownUnit { .. }));
    assert!(matches!(error("1 N m/rad", Kind::Torque), QuantityError::WrongKind { .. }));
    assert!(matches!(error("3 %", Kind::Angle), QuantityError::WrongKind { .. }));
}

#[test]
fn messages_say_what_was_found_and_what_would_be_right() {
    let worded = |text: &str, kind| {
        let error = quantity_in_si(text, kind).unwrap_err();
        format!("{error}; {}", error.help(kind))
    };
    assert_eq!(worded("3 kg", Kind::Length), "\"3 kg\" is a mass, not a length; write a length like \"40 mm\"");
    assert_eq!(
        worded("2.4", Kind::Mass),
        "2.4 is a bare number; its unit is missing; write the unit in the text, for example \"2.4 kg\""
    );
    assert_eq!(
        worded("1 kg m2", Kind::Inertia),
        "there is no unit \"m2\"; write \"m^2\" for the unit; a moment of inertia reads like \"2e-6 kg m^2\""
    );
    assert_eq!(
        worded("4 MM", Kind::Length),
        "there is no unit \"MM\"; write \"mm\" for the unit; a length reads like \"40 mm\""
    );
}

proptest! {
    #[test]
    fn a_written_number_is_read_back(number in -1e12f64..1e12) {
        prop_assert_eq!(value(&format!("{number:?} kg"), Kind::Mass), number);
        prop_assert_eq!(value(&format!("{number:e}m"), Kind::Length), number);
    }

    #[test]
    fn no_text_panics(text in ".{0,40}", numbered in "[0-9]{0,3}[a-zA-Z/^*()· 0-9µ°%²-]{0,30}") {
        for kind in Kind::ALL {
            for text in [&text, &numbered] {
                if let Ok(value) = quantity_in_si(text, kind) {
                    prop_assert!(value.is_finite());
                }
            }
        }
    }
}
