//! Small catalogues for tests, written as tables in the test itself, and one that is right.

use underboard::catalogue::{Catalogue, from_folder};
use underboard::diagnostic::Diagnostic;

/// The name that such a catalogue has in places: `small book › Parts › A2`.
pub(crate) const BOOK: &str = "small book";

/// Reads a catalogue from `(sheet, CSV text)` pairs. Blank lines and blanks at the start of lines do not count, so that tables can
/// be indented.
pub(crate) fn read_catalogue(sheets: &[(&str, &str)]) -> Result<Catalogue, Vec<Diagnostic>> {
    let tables = sheets.iter().map(|(sheet, text)| {
        let lines: Vec<&str> = text.lines().map(str::trim_start).filter(|line| !line.is_empty()).collect();
        (format!("{sheet}.csv"), lines.join("\n").into_bytes())
    });
    from_folder(BOOK, &tables.collect::<Vec<_>>())
}

/// The catalogue of `(sheet, CSV text)` pairs, which must be right; the errors are shown if it is not.
pub(crate) fn catalogue(sheets: &[(&str, &str)]) -> Catalogue {
    read_catalogue(sheets).unwrap_or_else(|errors| {
        let shown: Vec<String> = errors.iter().map(show).collect();
        panic!("the test's catalogue is wrong:\n{}", shown.join("\n"))
    })
}

/// A diagnostic on one line: code, place, what, found, expected, nearest.
pub(crate) fn show(diagnostic: &Diagnostic) -> String {
    let part = |name: &str, text: &Option<String>| text.as_ref().map(|text| format!("; {name}: {text}")).unwrap_or_default();
    format!(
        "{} at {}: {}{}{}{}",
        diagnostic.code.as_str(),
        diagnostic.place,
        diagnostic.what,
        part("found", &diagnostic.found),
        part("expected", &diagnostic.expected),
        part("nearest", &(!diagnostic.nearest.is_empty()).then(|| diagnostic.nearest.join(" or "))),
    )
}

/// The sheets of a small catalogue that is right: one scheme of each wiring, a few parts, one supplier in each of two currencies.
/// All of it is invented.
pub(crate) const SMALL: &[(&str, &str)] = &[
    (
        "Kinds",
        "kind,title,role,unit,form,match,spares
         motor,Motor,motor,each,at least,,no
         lead,Lead,lead,each,at least,length >=,no
         box,Controller,controller,each,at least,channels >=,no
         strip,Terminal strip,wiring sundry,ways,capacity of ways,,no
         wire,Wire,wire,m,pieces,colour =,no
         plug,Plug,connector,each,at least,ways >=,no
         supply,Supply,supply,each,at least,voltage =; current >=; waveform =,no
         screw,Screw,fixing,each,at least,size =,yes",
    ),
    (
        "Parts",
        "part,kind,title,length (mm),channels,ways,voltage (V),current (A),waveform,colour,size
         small motor,motor,Small motor,,,,,,,,
         short lead,lead,Short lead,300,,,,,,,
         long lead,lead,Long lead,1 m,,,,,,,
         box 8,box,Box for 8,,8,,,,,,
         strip 12,strip,Strip of 12,,,12,,,,,
         red reel,wire,Red wire,25 m,,,,,,RD,
         plug 9,plug,Plug of 9,,,9,,,,,
         brick,supply,Plug-in supply,,,,12,2,DC,,
         screw M2,screw,Screw,10,,,,,,,M2",
    ),
    (
        "Offers",
        "part,supplier,their code,pack,price,at least,checked on
         small motor,north,0042,1,4.20,,2024-05-01
         small motor,north,0042,1,3.90,10,2024-05-01
         short lead,north,,2,1.50,,
         long lead,far,,1,2.00,,
         box 8,north,,1,19.90,,
         strip 12,north,,1,1.10,,
         red reel,north,,1,3.35,,
         plug 9,far,,5,6.00,,
         brick,north,,1,15.00,,
         screw M2,north,,100,2.49,,",
    ),
    (
        "Suppliers",
        "supplier,title,postage,free from,least order,currency,tax
         north,North Bench (invented),3.50,40,,EUR,in
         far,Far Shelf (invented),5.00,,10,USD,out",
    ),
    ("Stock", "part,count\nscrew M2,25"),
    (
        "Schemes",
        "scheme,title,like,offered,drives,instead,wiring,conductors,shared,tail (mm),longest lead (mm),link conductors,feed conductors,draw,rest (mA),moving (mA),blocked (mA),duration (s),voltage (V),waveform,motor voltage (V),efficiency (%),controller (mA),stored,lever,contacts,bracket (mm),arm (mm),depth (mm)
         near,Motor at a controller,,,tie bar; arm,hand,local,3,,220,2000,4,2,move,8,200,700,2,12,DC,5,85,50,,maintained,,15,40,35
         near plus,The same with a contact,near,,,,,,,,,,,,,,,,,,,,,,,1,,,
         coil,Coil,,,tie bar,hand,direct,3,1,,,,,pulse,,4 A,,40 ms,24,AC,,,,,momentary,,,20,40
         hand,By hand,,no,tie bar; arm; gate; uncoupler,,none,,,,,,,none,,,,,,,,,,,by hand,,,,",
    ),
    (
        "Assemblies",
        "scheme,per,kind,asks,amount,when,why
         near,drive,motor,,1,,it moves the blades
         near,drive,lead,length lead length,1,tail short,the tail of the motor does not reach
         near,controller,box,channels channels,1,,it drives the motors
         coil,drive,wire,colour RD,1 x run length,,from the coil to its switch
         near,drive,screw,size M2,2,,they hold the motor
         ,joint,strip,,1 x conductors,,every conductor of the joint ends on it
         ,joint,plug,ways ways,plugs,,the wiring parts here
         ,supply,supply,voltage voltage; current current; waveform waveform,1,supply to buy,it feeds the layout",
    ),
    (
        "Tasks",
        "scheme,per,task,stage,low (min),likely (min),high (min),when
         near,drive,Fit the motor,fitting,10,15,30,
         ,joint pin,Solder the pin,wiring,3,4,8,portable",
    ),
    (
        "Turnouts",
        "kind,drives,frogs,levers,frog follows
         plain,1,1,1,
         double slip,2,2,2,other
         diamond,0,2,0,neighbour",
    ),
    (
        "Rates",
        "rate,value,checked on,note
         home currency,EUR,,
         tax,20 %,,
         learning,95 %,,
         end tail,150 mm,,
         light voltage,12 V,,
         light current,10 mA,,
         lamp current,5 mA,,
         lamps per lever,2,,
         lamps lit,1,,
         plug low,0.3,,minutes
         plug likely,0.5,,minutes
         plug high,2,,minutes
         notice,All prices are invented.,,
         USD,0.9,2024-05-01,
         rod above,6 mm,,
         rod bends,20 mm,,
         clear distance,60 mm,,
         contact resistance,0.01 ohm,,
         fuse drop,100 mV,,
         small fuse drop,300 mV,,
          small fuse,630 mA,,
          wires per terminal,2,,
          tag area,1.5 mm2,,",
    ),
];
