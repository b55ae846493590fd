//! What is said of each thing that can be wrong with a catalogue.

use underboard::diagnostic::{Code, Diagnostic, Severity};

use super::edited;
use crate::support::{BOOK, read_catalogue, show, small_but};

/// The one error of a catalogue: its code, place without the book, what was found, expected and nearest.
fn only_error(read: Result<impl Sized, Vec<Diagnostic>>) -> (Code, String, String, String, String) {
    let Err(errors) = read else { panic!("nothing is said to be wrong") };
    let mut errors = errors.into_iter().filter(|told| told.severity == Severity::Error);
    let (Some(error), None) = (errors.next(), errors.next()) else { panic!("one error should be told") };
    let place = error.place.to_string().replace(&format!("{BOOK} › "), "");
    let [found, expected] = [error.found, error.expected].map(Option::unwrap_or_default);
    let nearest = error.nearest.join(" or ");
    (error.code, place, found, expected, nearest)
}

/// Asserts what is said of an edit: place, found, expected and nearest, the last empty where there is none.
fn assert_told(edit: [&str; 3], code: Code, [place, found, expected, nearest]: [&str; 4]) {
    let [sheet, from, to] = edit;
    let told = only_error(edited(sheet, from, to));
    let shown = (told.0, told.1.as_str(), told.2.as_str(), told.3.as_str(), told.4.as_str());
    assert_eq!(shown, (code, place, found, expected, nearest), "{sheet}: {from} -> {to}");
}

#[test]
fn a_feed_above_extra_low_voltage_is_refused() {
    assert_told(["Schemes", "40 ms,24,AC", "40 ms,230,AC"], Code::OutOfRange, ["Schemes › S4", "230", "at most 50 V AC", ""]);
}

#[test]
fn a_missing_sheet_is_told_with_the_sheets_there_are() {
    let mut sheets = small_but("Turnouts", "");
    sheets.push(("Turnout", "kind,drives,frogs,levers"));
    let (code, place, found, expected, nearest) = only_error(read_catalogue(&sheets));
    assert_eq!((code, place.as_str(), nearest.as_str()), (Code::MissingSheet, BOOK, "Turnout"));
    assert_eq!(found, "the sheets Kinds, Parts, Offers, Suppliers, Stock, Schemes, Assemblies, Tasks, Rates, Turnout");
    assert_eq!(expected, "a sheet `Turnouts`, in a folder the file Turnouts.csv");
}

#[test]
fn a_catalogue_with_nothing_in_it_lacks_every_sheet_but_the_stock() {
    let errors = read_catalogue(&[]).unwrap_err();
    assert_eq!(errors.len(), 9);
    assert!(errors.iter().all(|error| error.code == Code::MissingSheet && !error.what.contains("Stock")));
}

#[test]
fn a_stock_under_another_name_is_noticed_and_a_sheet_of_the_users_own_is_not() {
    let mut sheets = small_but("Stock", "");
    sheets.push(("Stok", "part,count\nscrew M2,25"));
    sheets.push(("My notes", "whatever\nI like"));
    let notices = read_catalogue(&sheets).unwrap().notices;
    let told: Vec<String> = notices.iter().map(show).collect();
    assert_eq!(
        told,
        [
            "missing-sheet at small book: the sheet `Stok` is passed over; the sheet that is read is `Stock`; found: Stok; expected: Stock"
        ]
    );
}

#[test]
fn a_missing_column_is_told_with_the_headings_there_are() {
    let found = "the headings kind, title, rolle, unit, form, match, spares";
    let told = ["Kinds", found, "a heading `role` in row 1", "rolle"];
    assert_told(["Kinds", "title,role", "title,rolle"], Code::MissingColumn, told);
}

#[test]
fn text_where_a_price_belongs() {
    let expected = "a plain number such as 2.50, in the currency that the sheet Suppliers names";
    assert_told(["Offers", "2,1.50", "2,ask"], Code::WrongMoney, ["Offers › E4", "ask", expected, ""]);
}

#[test]
fn a_part_in_offers_that_is_not_in_parts() {
    let expected = "one of small motor, short lead, long lead, box 8, strip 12, red reel, plug 9, brick, screw M2";
    let told = ["Offers › A4", "shrt lead", expected, "short lead"];
    assert_told(["Offers", "short lead,north", "shrt lead,north"], Code::UnknownId, told);
}

#[test]
fn an_unknown_word_in_an_assembly() {
    let expected = "one of drive, lever, frog, frog to contact, lamp, arm, aspect, signal, controller, panel, encoder, supply, branch, board, joint, \
                    joint pin, route, layout";
    let told = ["Assemblies › B2", "drives", expected, "drive"];
    assert_told(["Assemblies", "near,drive,motor", "near,drives,motor"], Code::UnknownWord, told);
}

#[test]
fn an_empty_cell() {
    let told = ["Offers › D4", "an empty cell", "a value for `pack`", ""];
    assert_told(["Offers", "2,1.50", ",1.50"], Code::EmptyCell, told);
}

#[test]
fn a_name_that_stands_twice() {
    let told = ["Turnouts › A3", "PLAIN", "each name once", ""];
    assert_told(["Turnouts", "double slip", "PLAIN"], Code::DuplicateId, told);
}

#[test]
fn an_unknown_unit_in_a_heading_and_in_a_cell() {
    let told = ["Parts › D1", "length (MM)", "one of mm, cm, m, in, ft", "mm"];
    assert_told(["Parts", "length (mm)", "length (MM)"], Code::WrongUnit, told);
    let told = ["Parts › D3", "300 Mm", "a length such as 9 mm", "mm"];
    assert_told(["Parts", "Short lead,300", "Short lead,300 Mm"], Code::WrongUnit, told);
}

#[test]
fn a_ring_of_schemes() {
    let expected = "one scheme at the end whose cell is empty";
    let told = ["Schemes › C2", "near → near plus → near", expected, ""];
    let edit = ["Schemes", "near,Motor at a controller,", "near,Motor at a controller,near plus"];
    assert_told(edit, Code::Ring, told);
    let told = ["Schemes › F5", "hand → coil → hand", expected, ""];
    let edit = ["Schemes", "hand,By hand,,no,tie bar; arm; gate; uncoupler,", "hand,By hand,,no,tie bar,coil"];
    assert_told(edit, Code::Ring, told);
}

#[test]
fn a_catalogue_without_a_scheme_to_choose_is_refused() {
    let schemes = "scheme,title,offered,drives,wiring,draw,lever\nhand,By hand,no,tie bar,none,none,by hand";
    let errors = read_catalogue(&small_but("Schemes", schemes)).err().unwrap();
    assert!(errors.iter().any(|error| error.code == Code::MissingKey && error.place.to_string() == "small book › Schemes"));
}

#[test]
fn all_mistakes_of_a_book_are_told_in_the_order_of_sheets_and_rows() {
    let mut sheets = small_but("Turnouts", "kind,drives,frogs,levers\nplain,x,1,1\nwye,1,y,1\ncatch,1,0,z");
    sheets.retain(|(name, _)| *name != "Offers" && *name != "Stock");
    sheets.push(("Offers", "part,supplier,pack,price\nsmall motor,north,one,4.20\nsmall motor,nort,1,"));
    sheets.push(("Stock", "part,count\nscrew M2,-1"));
    let errors = read_catalogue(&sheets).err().unwrap();
    let places: Vec<String> = errors.iter().map(|error| error.place.to_string().replace("small book › ", "")).collect();
    assert_eq!(
        places,
        ["Offers › C2", "Offers › B3", "Offers › D3", "Stock › B2", "Turnouts › B2", "Turnouts › C3", "Turnouts › D4"]
    );
}

#[test]
fn a_book_full_of_mistakes_is_told_of_in_reasonable_length_and_time() {
    let rows: String = (0..20_000).map(|row| format!("part {row},nobody {row},0,ask\n")).collect();
    let offers = format!("part,supplier,pack,price\n{rows}");
    let errors = read_catalogue(&small_but("Offers", &offers)).err().unwrap();
    assert_eq!(errors.len(), 1_001);
    assert_eq!(errors[1_000].what, "79000 more are not shown; mend these first");
}

#[test]
fn what_a_plan_looks_for_and_does_not_find_is_noticed() {
    let told = |edit: [&str; 3]| -> Vec<String> {
        let [sheet, from, to] = edit;
        let notices = edited(sheet, from, to).unwrap().notices;
        notices.iter().map(|told| format!("{}: {}", told.place.to_string().replace("small book › ", ""), told.what)).collect()
    };
    let without = |scheme: &str| format!("no controller can be planned for the scheme `{scheme}`, which is wired `local`");
    let both = vec![format!("Schemes › A2: {}", without("near")), format!("Schemes › A3: {}", without("near plus"))];
    assert_eq!(told(["Kinds", "Controller,controller", "Controller,panel sundry"]), both);
    assert_eq!(told(["Offers", "box 8,north,,1,19.90,,", ""]), both);
    assert_eq!(told(["Assemblies", "near,controller,box", "coil,controller,box"]), both);
    assert_eq!(told(["Assemblies", "near,controller,box", "near plus,controller,box"]), both[..1]);
    let plugs = "Assemblies: no row asks for the plugs by which wires part at a joint";
    assert_eq!(told(["Assemblies", "ways ways,plugs", "ways 9,plugs"]), [plugs]);
    assert_eq!(told(["Kinds", "supply,Supply,supply", "supply,Supply,tool"]), ["Assemblies: no row asks for a supply"]);
}

#[test]
fn slips_in_what_a_rule_asks_and_a_scheme_draws_are_told() {
    let told = |edit: [&str; 3]| {
        let [sheet, from, to] = edit;
        let errors = edited(sheet, from, to).err().unwrap_or_else(|| panic!("{to} is not wrong"));
        errors.first().map(|error| (error.code, error.what.clone())).unwrap()
    };
    let twice = told(["Assemblies", "screw,size M2,2", "screw,size M2; size M2,2"]);
    assert_eq!(twice, (Code::DuplicateKey, "`size` is asked twice".to_owned()));
    let tail = told(["Assemblies", "1 x conductors,,every", "1 x conductors,tail short,every"]);
    let said = "nothing that is counted per `joint` has a tail, so the row would never count";
    assert_eq!(tail, (Code::Contradiction, said.to_owned()));
    let lossless = told(["Schemes", "12,DC,5,85,50", "12,DC,5,0,50"]);
    assert_eq!(lossless, (Code::OutOfRange, "with no efficiency nothing would come through".to_owned()));
    let capacity = told(["Assemblies", "joint,strip,,1 x conductors", "drive,strip,,1 x lead length"]);
    assert_eq!(capacity.0, Code::Contradiction, "{}", capacity.1);
}

/// Edits of the small catalogue: a text and what stands in its place.
type Edits = &'static [(&'static str, &'static str)];

/// Slips in the sheet `Kinds`.
const KINDS: Edits = &[
    ("kind,title,role", "kind,title,rolle"),
    ("kind,title,role,unit,form,match,spares", "kind,title,role,unit,form,mach,spares"),
    ("Lead,lead,each", "Lead,leed,each"),
    ("at least,length >=,no", "at leest,length >=,no"),
    ("capacity of ways", "capacity of wais"),
    ("length >=", "lenght >="),
    ("length >=", "length"),
    ("colour =", "colour >="),
    ("plug,Plug", "wire,Plug"),
    ("size =,yes", "size =,maybe"),
];

/// Slips in the sheet `Parts`.
const PARTS: Edits = &[
    ("small motor,motor", "small motor,moter"),
    ("Short lead,300", "Short lead,300 V"),
    ("Short lead,300", "Short lead,three"),
    ("Short lead,300", "Short lead,-300"),
    ("Short lead,300", "Short lead,300 millimetre"),
    ("Small motor,", ","),
    ("length (mm)", "length (V)"),
    ("length (mm)", "length"),
    ("channels,ways", "channels,size"),
    ("Box for 8,,8", "Box for 8,,8.5"),
    ("2,DC", "2,DD"),
    ("Red wire,25 m", "Red wire,"),
    ("Strip of 12,,,12", "Strip of 12,,,0"),
    ("screw M2,screw", "Short  LEAD,screw"),
    ("length (mm)", "length (MM)"),
    ("plug 9,plug,Plug of 9,,,9", "plug 9,plug,Plug of 9,,,"),
    ("small motor,motor,", "small motor,screw,"),
    ("RD,", "RED,"),
];

/// Slips in the sheet `Offers`.
const OFFERS: Edits = &[
    ("short lead,north", "shrt lead,north"),
    ("short lead,north", "short lead,nort"),
    ("2,1.50", "2,ask"),
    ("2,1.50", "2,1.50 USD"),
    ("2,1.50", "2,1.50 EUR"),
    ("2,1.50", "2,\"1,50\""),
    ("2,1.50", "2,-1.50"),
    ("2,1.50", "2,0.001"),
    ("2,1.50", "2,900000000"),
    ("2,1.50", "0,1.50"),
    ("2,1.50", ",1.50"),
    ("3.90,10,2024-05-01", "3.90,10,01.05.2024"),
    ("2,1.50,,", "2,1.50,0,"),
    ("4.20,,2024", "4.20,10,2024"),
    ("part,supplier", "part,part"),
    ("checked on", "cheked on"),
];

/// Slips in the sheet `Suppliers`.
const SUPPLIERS: Edits =
    &[("EUR,in", "EURO,in"), ("USD,out", "GBP,out"), ("USD,out", "USD,without"), ("3.50,40", ",40"), ("far,Far", "north,Far")];

/// Slips in the sheet `Stock`.
const STOCK: Edits = &[
    ("screw M2,25", "screw M2,25\nscrew m2,3"),
    ("screw M2,25", "screw M3,25"),
    ("part,count", "part,number"),
    ("screw M2,25", "screw M2,2.5"),
];

/// Slips in the sheet `Schemes`.
const SCHEMES: Edits = &[
    ("near plus,The same with a contact,near", "near plus,The same with a contact,nere"),
    ("near,Motor at a controller,", "near,Motor at a controller,near plus"),
    ("hand,By hand,,no,tie bar; arm; gate; uncoupler,", "hand,By hand,,no,tie bar,coil"),
    ("tie bar; arm,hand", "tie bar; arms,hand"),
    ("local,3,,220,", "local,3,,,"),
    ("local,3,,220", "local,3,,220 mA"),
    ("pulse,,4 A,,40 ms", "puls,,4 A,,40 ms"),
    ("pulse,,4 A,,40 ms", "pulse,,4 A,,"),
    ("5,85,50,,maintained", "5,0.85,50,,maintained"),
    ("5,85,50,,maintained", "5,120,50,,maintained"),
    ("5,85,50,,maintained", "5,85,50,yes,maintained"),
    ("momentary", "by hand"),
    ("direct,3,1", "none,3,1"),
    ("direct,3,1", "direct,3,4"),
    ("direct,3,1,,", "direct,3,1,100,"),
    ("hand,By hand,,no,tie bar; arm; gate; uncoupler,,none", "hand,By hand,,no,tie bar; arm; gate; uncoupler,,direct"),
    ("By hand,,no", "By hand,,nope"),
    ("12,DC,5", "0,DC,5"),
];

/// Slips in the sheet `Assemblies`.
const ASSEMBLIES: Edits = &[
    ("near,drive,motor", "neer,drive,motor"),
    ("near,drive,motor", "near,drives,motor"),
    ("near,drive,motor", "near,drive,moter"),
    ("length lead length", "length lead lenght"),
    ("length lead length", "lenght lead length"),
    ("length lead length", "colour RD"),
    ("length lead length", "length"),
    ("length lead length", "length conductors"),
    ("near,drive,lead,length lead length,1,tail short", "near,panel,lead,length lead length,1,"),
    ("1,tail short", "1,tale short"),
    ("1,tail short", "1,tie bar; arm"),
    ("1 x run length", "1 x run lenght"),
    ("1 x run length", "1.5 x run length"),
    ("1 x run length", "2"),
    ("1 x conductors", "1 x voltage"),
    ("size M2,2,", "size M2,0,"),
    ("size M2,2,", "size M2,,"),
    ("the wiring parts here", ""),
    ("scheme,per", "scheme,\"per\nwhat\""),
];

/// Slips in the sheet `Tasks`.
const TASKS: Edits = &[
    ("10,15,30", "10,40,30"),
    ("10,15,30", "10,15 s,30"),
    ("fitting,10", "fiting,10"),
    ("low (min)", "low (mm)"),
    ("joint pin,Solder", "joint pins,Solder"),
];

/// Slips in the sheet `Turnouts`.
const TURNOUTS: Edits = &[
    ("plain,1,1,1,", "plain,1,1,2,"),
    ("plain,1,1,1,", "plain,1,1,1,other"),
    ("plain,1,1,1,", "plain,1,x,1,"),
    ("plain,1,1,1,", "plain,1,1,1,owen"),
    ("plain,1,1,1,", "plain,99,1,1,"),
];

/// Slips in the sheet `Rates`.
const RATES: Edits = &[
    ("home currency,EUR,,", ""),
    ("home currency,EUR,,", "home currency,EWR,,"),
    ("tax,20 %", "tax,20"),
    ("tax,20 %", "tax,0.2"),
    ("tax,20 %", "taks,20 %"),
    ("end tail,150 mm", "end tail,150"),
    ("learning,95 %", "learning,40 %"),
    ("lamps lit,1", "lamps lit,3"),
    ("plug high,2,", "plug high,0.4,"),
    ("USD,0.9", "USD,0"),
    ("USD,0.9", "EUR,0.9"),
    ("lamp current,5 mA,,", ""),
    ("tax,20 %", "tax,-5 %"),
    ("USD,0.9,2024-05-01", "USD,0.9,May"),
    ("lamps lit,1", "lamps lit,"),
    ("home currency,EUR,,", "home currency,EUR,,\nhome currency,USD,,"),
];

/// One slip for each thing that can be wrong in a cell or a column, with all that is said of it; a reader of the snapshots should
/// find each of them plain.
#[test]
fn each_slip_is_told_plainly() {
    insta::assert_snapshot!("slips_in_kinds", told_of("Kinds", KINDS));
    insta::assert_snapshot!("slips_in_parts", told_of("Parts", PARTS));
    insta::assert_snapshot!("slips_in_offers", told_of("Offers", OFFERS));
    insta::assert_snapshot!("slips_in_suppliers", told_of("Suppliers", SUPPLIERS));
    insta::assert_snapshot!("slips_in_stock", told_of("Stock", STOCK));
    insta::assert_snapshot!("slips_in_schemes", told_of("Schemes", SCHEMES));
    insta::assert_snapshot!("slips_in_assemblies", told_of("Assemblies", ASSEMBLIES));
    insta::assert_snapshot!("slips_in_tasks", told_of("Tasks", TASKS));
    insta::assert_snapshot!("slips_in_turnouts", told_of("Turnouts", TURNOUTS));
    insta::assert_snapshot!("slips_in_rates", told_of("Rates", RATES));
}

fn told_of(sheet: &str, edits: Edits) -> String {
    let told = edits.iter().map(|(from, to)| {
        let told = match edited(sheet, from, to) {
            Ok(catalogue) => catalogue.notices,
            Err(errors) => errors,
        };
        let told: String = told.iter().map(lines).collect();
        format!("`{from}` becomes `{}`\n{}", to.replace('\n', "⏎"), if told.is_empty() { "    nothing to tell\n" } else { &told })
    });
    told.collect::<Vec<_>>().join("\n").replace(&format!("{BOOK} › "), "")
}

/// A diagnostic on a few lines.
fn lines(told: &Diagnostic) -> String {
    let grave = if told.severity == Severity::Error { "error" } else { "notice" };
    let part =
        |name: &str, text: &Option<String>| text.as_ref().map(|text| format!("        {name} {text}\n")).unwrap_or_default();
    let near = (!told.nearest.is_empty()).then(|| told.nearest.join(" or "));
    let [found, expected, nearest] =
        [("found", &told.found), ("expected", &told.expected), ("nearest", &near)].map(|(name, text)| part(name, text));
    format!("    {grave} {} at {}: {}\n{found}{expected}{nearest}", told.code.as_str(), told.place, told.what)
}
