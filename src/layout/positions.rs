//! Where each value of a YAML file stands.
