//! Values of JSON that a test relies on; each panics with what it found instead.

pub(crate) use crossbrace::math::assert_near;
use nalgebra::Vector3;
use serde_json::{Map, Value};

/// A number.
#[track_caller]
pub(crate) fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("expected a number, found {value}"))
}

/// A text.
#[track_caller]
pub(crate) fn word(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("expected a text, found {value}"))
}

/// A list.
#[track_caller]
pub(crate) fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("expected a list, found {value}"))
}

/// An object.
#[track_caller]
pub(crate) fn entries(value: &Value) -> &Map<String, Value> {
    value.as_object().unwrap_or_else(|| panic!("expected an object, found {value}"))
}

/// Three numbers in a list.
#[track_caller]
pub(crate) fn vector(value: &Value) -> Vector3<f64> {
    let [x, y, z] = list(value) else { panic!("expected three numbers, found {value}") };
    Vector3::new(number(x), number(y), number(z))
}

/// Three numbers in a list, from a vector.
pub(crate) fn three(vector: &Vector3<f64>) -> Value {
    serde_json::json!([vector.x, vector.y, vector.z])
}

/// Holds a number against zero; NaN is refused.
#[track_caller]
pub(crate) fn assert_none(actual: f64, most: f64) {
    assert!(actual.abs() <= most, "{actual:e} is not within {most:e} of zero");
}
