//! The catalogue: what is read, and what is said of what cannot be.

use underboard::diagnostic::Diagnostic;

use crate::support::{SMALL, catalogue, read_catalogue, show};

/// The small catalogue with one text of one sheet put in place of another.
fn edited(sheet: &str, from: &str, to: &str) -> Result<Vec<Diagnostic>, Vec<Diagnostic>> {
    let edit = |(name, text): &(&'static str, &'static str)| {
        let text = (*text).to_owned();
        let text = if *name == sheet {
            assert_eq!(text.matches(from).count(), 1, "`{from}` must stand once in {sheet}");
            text.replace(from, to)
        } else {
            text
        };
        (*name, text)
    };
    let sheets: Vec<(&str, String)> = SMALL.iter().map(edit).collect();
    let sheets: Vec<(&str, &str)> = sheets.iter().map(|(name, text)| (*name, text.as_str())).collect();
    read_catalogue(&sheets).map(|catalogue| catalogue.notices)
}

#[test]
fn explore() {
    for (sheet, from, to) in [
        ("Kinds", "kind,title,role", "kind,title,rolle"),
        ("Kinds", "kind,title,role,unit,form,match,spares", "kind,title,role,unit,form,mach,spares"),
        ("Kinds", "Lead,lead,each", "Lead,leed,each"),
        ("Kinds", "at least,length >=,no", "at leest,length >=,no"),
        ("Kinds", "capacity of ways", "capacity of wais"),
        ("Kinds", "length >=", "lenght >="),
        ("Kinds", "length >=", "length"),
        ("Kinds", "colour =", "colour >="),
        ("Kinds", "plug,Plug", "wire,Plug"),
        ("Kinds", "size =,yes", "size =,maybe"),
        ("Parts", "small motor,motor", "small motor,moter"),
        ("Parts", "Short lead,300", "Short lead,300 V"),
        ("Parts", "Short lead,300", "Short lead,three"),
        ("Parts", "Short lead,300", "Short lead,-300"),
        ("Parts", "Short lead,300", "Short lead,300 millimetre"),
        ("Parts", "Small motor,", ","),
        ("Parts", "length (mm)", "length (V)"),
        ("Parts", "length (mm)", "length"),
        ("Parts", "channels,ways", "channels,size"),
        ("Parts", "Box for 8,,8", "Box for 8,,8.5"),
        ("Parts", "2,DC", "2,DD"),
        ("Parts", "Red wire,25 m", "Red wire,"),
        ("Parts", "Strip of 12,,,12", "Strip of 12,,,0"),
        ("Parts", "screw M2,screw", "Short  LEAD,screw"),
        ("Offers", "short lead,north", "shrt lead,north"),
        ("Offers", "short lead,north", "short lead,nort"),
        ("Offers", "2,1.50", "2,ask"),
        ("Offers", "2,1.50", "2,1.50 USD"),
        ("Offers", "2,1.50", "2,1.50 EUR"),
        ("Offers", "2,1.50", "2,\"1,50\""),
        ("Offers", "2,1.50", "2,-1.50"),
        ("Offers", "2,1.50", "2,0.001"),
        ("Offers", "2,1.50", "2,900000000"),
        ("Offers", "2,1.50", "0,1.50"),
        ("Offers", "2,1.50", ",1.50"),
        ("Offers", "3.90,10,2024-05-01", "3.90,10,01.05.2024"),
        ("Suppliers", "EUR,in", "EURO,in"),
        ("Suppliers", "USD,out", "GBP,out"),
        ("Suppliers", "USD,out", "USD,without"),
        ("Stock", "screw M2,25", "screw M2,25\nscrew m2,3"),
        ("Stock", "screw M2,25", "screw M3,25"),
        ("Schemes", "near plus,The same with a contact,near", "near plus,The same with a contact,nere"),
        ("Schemes", "near,Motor at a controller,", "near,Motor at a controller,near plus"),
        ("Schemes", "hand,By hand,,no,tie bar; arm; gate; uncoupler,", "hand,By hand,,no,tie bar,coil"),
        ("Schemes", "tie bar; arm,hand", "tie bar; arms,hand"),
        ("Schemes", "local,3,,220,", "local,3,,,"),
        ("Schemes", "local,3,,220", "local,3,,220 mA"),
        ("Schemes", "pulse,,4 A,,40 ms", "puls,,4 A,,40 ms"),
        ("Schemes", "pulse,,4 A,,40 ms", "pulse,,4 A,,"),
        ("Schemes", "5,85,50,,maintained", "5,0.85,50,,maintained"),
        ("Schemes", "5,85,50,,maintained", "5,120,50,,maintained"),
        ("Schemes", "5,85,50,,maintained", "5,85,50,yes,maintained"),
        ("Schemes", "momentary", "by hand"),
        ("Schemes", "direct,3,1", "none,3,1"),
        ("Schemes", "direct,3,1", "direct,3,4"),
        ("Schemes", "direct,3,1,,", "direct,3,1,100,"),
        ("Assemblies", "near,drive,motor", "neer,drive,motor"),
        ("Assemblies", "near,drive,motor", "near,drives,motor"),
        ("Assemblies", "near,drive,motor", "near,drive,moter"),
        ("Assemblies", "length lead length", "length lead lenght"),
        ("Assemblies", "length lead length", "lenght lead length"),
        ("Assemblies", "length lead length", "colour RD"),
        ("Assemblies", "length lead length", "length"),
        ("Assemblies", "length lead length", "length conductors"),
        ("Assemblies", "near,drive,lead,length lead length,1,tail short", "near,panel,lead,length lead length,1,"),
        ("Assemblies", "1,tail short", "1,tale short"),
        ("Assemblies", "1,tail short", "1,tie bar; arm"),
        ("Assemblies", "1 x run length", "1 x run lenght"),
        ("Assemblies", "1 x run length", "1.5 x run length"),
        ("Assemblies", "1 x run length", "2"),
        ("Assemblies", "1 x conductors", "1 x voltage"),
        ("Assemblies", "size M2,2,", "size M2,0,"),
        ("Assemblies", "size M2,2,", "size M2,,"),
        ("Assemblies", "the wiring parts here", ""),
        ("Tasks", "10,15,30", "10,40,30"),
        ("Tasks", "10,15,30", "10,15 s,30"),
        ("Tasks", "fitting,10", "fiting,10"),
        ("Turnouts", "plain,1,1,1,", "plain,1,1,2,"),
        ("Turnouts", "plain,1,1,1,", "plain,1,1,1,other"),
        ("Turnouts", "plain,1,1,1,", "plain,1,x,1,"),
        ("Rates", "home currency,EUR,,", ""),
        ("Rates", "home currency,EUR,,", "home currency,EWR,,"),
        ("Rates", "tax,20 %", "tax,20"),
        ("Rates", "tax,20 %", "tax,0.2"),
        ("Rates", "tax,20 %", "taks,20 %"),
        ("Rates", "end tail,150 mm", "end tail,150"),
        ("Rates", "learning,95 %", "learning,40 %"),
        ("Rates", "lamps lit,1", "lamps lit,3"),
        ("Rates", "plug high,2,", "plug high,0.4,"),
        ("Rates", "USD,0.9", "USD,0"),
        ("Rates", "USD,0.9", "EUR,0.9"),
        ("Rates", "lamp current,5 mA,,", ""),
    ] {
        println!("--- {sheet}: {from} -> {to}");
        match edited(sheet, from, to) {
            Ok(d) => {
                for d in d {
                    println!("    notice {}", show(&d))
                }
            }
            Err(d) => {
                for d in d {
                    println!("    {}", show(&d))
                }
            }
        }
    }
}
#[test]
fn the_small_catalogue_is_right() {
    let catalogue = catalogue(SMALL);
    assert!(catalogue.notices.is_empty(), "{:?}", catalogue.notices.iter().map(show).collect::<Vec<_>>());
}
