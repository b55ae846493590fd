//! Names in print.

/// Names in print, at most six of them.
pub(super) fn names<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.into_iter().collect();
    let shown = names.iter().take(6).copied().collect::<Vec<_>>().join(", ");
    if names.len() > 6 { format!("{shown} and {} more", names.len() - 6) } else { shown }
}
