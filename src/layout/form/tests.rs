//! The form of a layout file.

use super::*;

fn forms(form: &'static Form, all: &mut Vec<&'static Form>) {
    all.push(form);
    for key in form.keys {
        if let Holds::Map(form) | Holds::MapOr(form, _) | Holds::List(form) = key.holds {
            forms(form, all);
        }
    }
}

#[test]
fn every_key_is_explained_and_written_once_in_its_map() {
    let mut all = Vec::new();
    forms(&LAYOUT, &mut all);
    assert_eq!(all.len(), 10);
    for form in all {
        let mut names: Vec<_> = form.names().collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), form.keys.len(), "{}", form.title);
        assert!(form.keys.iter().all(|key| key.about.ends_with('.')), "{}", form.title);
    }
}

#[test]
fn the_schema_has_every_key_and_no_other() {
    let schema = schema_value();
    let turnout = &schema["properties"]["turnouts"]["items"];
    assert_eq!(turnout["additionalProperties"], false);
    assert_eq!(turnout["required"], json!(["id"]));
    assert_eq!(turnout["properties"]["frog"]["enum"], json!(["insulated", "live", "blade fed"]));
    assert_eq!(turnout["properties"].as_object().map(Map::len), Some(TURNOUT.keys.len()));
    assert!(schema["properties"]["panel"]["anyOf"][1]["const"] == "none");
}
