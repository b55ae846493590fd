//! The YAML as written.
