//! Values as TOML writes them.

use toml::de::DeValue;

/// A text in quotes, whatever is in it.
#[must_use]
pub fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A value as it is typed after the "=" of an override, as a file writes it: what is no TOML is text.
#[must_use]
pub fn typed_as_toml(typed: &str) -> String {
    if DeValue::parse(typed).is_ok() { typed.to_owned() } else { quoted(typed) }
}
