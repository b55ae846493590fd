//! The sorts of findings by their names, each with its cause and its cure: what `explain` prints.

/// A sort of finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sort {
    /// Its stable name, such as `wire-not-rated`.
    pub name: &'static str,
    /// What it says, in one line.
    pub short: &'static str,
    /// How it comes about.
    pub cause: &'static str,
    /// What mends it.
    pub cure: &'static str,
}

const fn sort(name: &'static str, short: &'static str, cause: &'static str, cure: &'static str) -> Sort {
    Sort { name, short, cause, cure }
}

/// All sorts, by name.
pub const SORTS: &[Sort] = &[
    sort(
        "blade-fed-frogs",
        "frogs that get their current where blade and rail touch",
        "The layout file says `frog: blade fed`: no contact feeds the frog, and dirt between blade and rail cuts it off.",
        "Keep the blades clean where they touch, or make the frog live with a contact (`frog: live`).",
    ),
    sort(
        "cannot-be-bought",
        "a need that nothing in the catalogue serves",
        "No part on sale or in stock does what a rule asks for: a thing so long, so thick, with so many ways, or in so large a number.",
        "Add a part and its offer to the workbook, or change what the row of the sheet Assemblies asks for.",
    ),
    sort(
        "capacitor-rated-too-low",
        "a discharge unit whose capacitor does not stand the voltage",
        "A transformer without load gives up to a quarter more than its rating, and the rectified peak of that is above what the capacitor is rated for.",
        "Use a unit whose capacitor is rated for more, or a transformer of a lower voltage.",
    ),
    sort(
        "coil-gets-too-little",
        "coils that do not get the pulse they need",
        "From the charge of the unit, less what the wires take, less energy or current reaches the coils of a lever than their motor needs. Several \
         coils on one lever share one charge.",
        "A larger discharge unit, thicker wire, a panel nearer to them, or levers of their own for the drives, thrown one after the other; where one of these \
         alone does not serve, several together.",
    ),
    sort(
        "coils-at-low-mains",
        "coils that get too little while the mains is low",
        "The mains may be a tenth low for hours, and a transformer hands that on: the discharge unit is charged to less, and no wire makes up for that where the \
         coil alone asks for as much. A rule that allows less to be lost (`drop`) makes it worse: the coils ask for more then.",
        "A transformer of a higher voltage, as far as the capacitor of the unit is rated for it; a motor that asks for less; or measure what the transformer gives \
         before a session.",
    ),
    sort(
        "connector-wears-out",
        "a plug that is joined more often than it lasts",
        "The set-ups a year times the years of the rules are more matings than the connector of a joint is made for.",
        "Let the row of the joint ask for a longer life, or reckon with changing the plugs.",
    ),
    sort(
        "controller-could-be-shared",
        "a board could be served from the next one",
        "Fewer controllers would do if some leads crossed a joint. Where more conductors part there then, it is told only if it costs less.",
        "`controllers: neighbour` in the rules, if you like that better.",
    ),
    sort(
        "controller-is-shared",
        "a board is served from the next one",
        "The rules say `controllers: neighbour`, and leads cross a joint.",
        "`controllers: each board` in the rules, if you like that better.",
    ),
    sort(
        "converter-too-small",
        "a controller whose own converter gives its motors too little",
        "The current that the part states (`current` in the sheet Parts) is less than its motors draw in use, at switch-on, or with one of them \
         blocked beside the others.",
        "A controller that gives more, or two that share its motors.",
    ),
    sort(
        "deeper-than-the-frame",
        "drives that stand out below the frame",
        "The scheme's drive is deeper than the free depth under the top of the board.",
        "Deepen the frame and write its depth in the layout file, or choose a scheme with a flatter drive.",
    ),
    sort(
        "drive-moves-too-little",
        "a drive whose travel is less than the blades and the rod ask for",
        "The hole in the bracket is a fulcrum: with a short arm below a thick top the drive must move further than it can.",
        "A stiffer rod, a longer arm, or a scheme whose drive travels further.",
    ),
    sort(
        "eyes-and-hands",
        "a caution for the work",
        "Soldering, drilling, sawing and spring wire hurt eyes and hands.",
        "Wear glasses, clamp the work, air the room.",
    ),
    sort(
        "frogs-follow-the-other-end",
        "in a slip each frog changes over with the blades of the other end",
        "That is how a slip is built.",
        "Wire each frog to the drive that is named.",
    ),
    sort(
        "fuse-above-the-supply",
        "a fuse that is rated for more than its supply",
        "The load asks for a fuse whose next rating is above what the owned supply gives, so on a short the supply gives up first; where the two are equal either may.",
        "A supply that gives no less than the fuse, or more sections (`sections` in the rules) with less load each.",
    ),
    sort(
        "fuse-does-not-protect",
        "wire that its fuse does not protect",
        "The fuse must carry the load of its feed, and some wire on it is rated for less than the fuse lets through. What only brings signals, the link and \
         what an encoder lights, is fed by the parts at its ends and not counted here; nor is the short lead that comes with a second encoder, inside the panel.",
        "Fuses of their own for thin wires (rows per `branch` in the sheet Assemblies), or thicker wire.",
    ),
    sort(
        "fuse-each-feed",
        "a caution: each feed has its fuse",
        "Thin wire burns before a large supply notices a short.",
        "Fit the fuse close to the supply.",
    ),
    sort(
        "hole-too-small",
        "a hole in the top that the rod touches",
        "The rod swings further in the hole than it is wide.",
        "A wider hole: a larger drill in the workbook.",
    ),
    sort(
        "lamps-can-only-be-proved",
        "panel lamps that cannot show what was asked",
        "A lever that springs back keeps no state, and the catalogue has no part that remembers it.",
        "Add such a part with `lamps commanded` in its row, or write `lamps: proved` or `lamps: none`.",
    ),
    sort(
        "lead-below-the-supply",
        "a supply's lead that bears less than the supply may give",
        "The fuse stands at the panel, behind the lead. The lead must bear what the supply gives on a short, or have the fuse before it.",
        "The fuse in line at the supply's end of the lead, a smaller supply, or a stronger lead.",
    ),
    sort(
        "lead-too-long",
        "a lead longer than the scheme allows",
        "A drive is too far from its controller for its signal or its current.",
        "A second controller nearer to it.",
    ),
    sort(
        "lengths-are-estimated",
        "wire lengths are estimates",
        "Devices without a position are taken as spread evenly along their boards.",
        "Write `at:` for them.",
    ),
    sort(
        "link-return-beside-the-minus",
        "a link's return that would bear a board's whole current if the power minus came loose",
        "The return core of the link and the power minus join panel and controller side by side. Where the minus parts, its current flows over that thin core, \
         and no fuse opens.",
        "Less through each trunk (`sections` in the rules, fewer levers at once), a link cable with thicker cores, and a look at the minus at each set-up.",
    ),
    sort(
        "live-frogs",
        "frogs that change over",
        "A live frog takes its polarity from a contact that moves with the blades.",
        "Fit contact and insulated joints as said, and set the contact to change in the middle of the travel.",
    ),
    sort(
        "mains",
        "a caution: mains stays in its enclosure",
        "Mains kills.",
        "Use certified, enclosed supplies and leave them closed. Local codes and licensed practice come first.",
    ),
    sort(
        "no-fuse-carries-it",
        "a load that no fuse of the series carries",
        "What hangs on one board or one controller draws more than the largest miniature fuse may carry, so that it cannot be divided further.",
        "Drives that draw less, fewer levers at once, or motors held still at switch-on.",
    ),
    sort(
        "nothing-moves-it",
        "a drive that no scheme moves",
        "No scheme compared can drive it, and none stands in for it.",
        "Name a scheme for it in the layout file, or one in the column `instead` of the sheet Schemes.",
    ),
    sort(
        "one-lever-two-schemes",
        "drives on one lever that are moved in different ways",
        "Devices on one lever have schemes whose switches differ.",
        "One scheme for all of them, or levers of their own.",
    ),
    sort(
        "over-centre-spring",
        "what becomes of a turnout's own spring",
        "A spring that snaps over helps a solenoid and hinders what holds the blades by its rod.",
        "Leave it in or take it out as said.",
    ),
    sort(
        "owned-supplies-carry-a-part",
        "your supplies carry a part of a feed",
        "All together they give less than the feed asks for, or the rules ask for more `sections` than you have supplies, so it is divided and a further supply is \
         bought.",
        "The supply on the bill, a plan that draws less, or fewer `sections`.",
    ),
    sort(
        "plugs-can-be-swapped",
        "plugs at one joint that fit each other's sockets",
        "A joint has two plugs or more that are alike.",
        "Key or mark them, and write `keyed: yes` for the joint.",
    ),
    sort(
        "pulses-over-pins",
        "pins that carry more for the time of a pulse than they are rated for all the time",
        "A pulse of a coil is strong but short; what heats a pin is its r.m.s. over the time until it may come again.",
        "Nothing, as long as levers spring back: never hold or wedge one.",
    ),
    sort(
        "resistor-does-not-suit",
        "lamps whose resistor lets too much through, or gets too warm",
        "The resistor that the row asks for does not fit the feed's voltage and the lamp.",
        "Ask for the value that is named, or feed the lamps from a lower voltage.",
    ),
    sort(
        "rod-too-soft",
        "a rod that bends instead of moving the blades",
        "The rod is long above its fulcrum and thin: it gives way before the blades are pressed home.",
        "A thicker rod.",
    ),
    sort(
        "screw-too-long",
        "a screw that comes too near the surface",
        "The top is thinner than the screw enters.",
        "A thicker top, a pad, washers, or a shorter screw.",
    ),
    sort("screw-too-short", "a screw that holds too little", "It enters the top by less than holds.", "A longer screw."),
    sort(
        "stored-charge",
        "a caution: a discharge unit stays charged",
        "Its capacitor keeps its charge after the power is off.",
        "Fit a resistor across it for good, and measure before you touch it.",
    ),
    sort(
        "stuck-drive-stops-all",
        "a supply that a stuck drive takes beyond its rating",
        "A blocked motor draws more than a moving one. While the most moves that may, that is more than the supply gives.",
        "Switch off and free the drive; or a supply that gives so much.",
    ),
    sort(
        "supplies-can-be-swapped",
        "supplies whose plugs fit each other's sockets",
        "Two feeds of different voltage are brought in by leads that are alike.",
        "Different plugs for them, or screws.",
    ),
    sort(
        "supply-not-used",
        "a supply of yours that feeds nothing in the plan",
        "Nothing draws its voltage and sort of current, or others that you have carry the feed without it.",
        "Nothing: it stays in the box. Choose another scheme where it should serve.",
    ),
    sort(
        "supply-too-small",
        "a supply that does not carry its feed",
        "It gives less than the most that is drawn, or the load of all the time leaves less of it free than the rule of headroom. A supply that you \
         have and that is too small ends `power` alone with exit code 1, since `power` asks whether what you have carries the plan; the other \
         verbs put what serves on the bill.",
        "A larger supply; or less at once: fewer levers together, motors held still at switch-on, drives that draw less.",
    ),
    sort(
        "thin-wires-fused-apart",
        "thin wires with fuses of their own",
        "Some wire is rated for less than the fuse of its feed lets through. These fuses stand in the plus: a thin return that is pinched against the plus of \
         thicker wires still meets the larger fuse of those.",
        "Fit the smaller fuses where these wires leave the feed, and bundle thin wires apart from thick ones.",
    ),
    sort(
        "too-little-arrives",
        "more voltage is lost on the way than the rules allow",
        "The wire from the supply to the farthest controller or motor resists too much for what flows, with the thickest wire of the catalogue.",
        "Thicker wire, the panel nearer to the middle, more sections (`sections`) with power wires of their own, or less at once.",
    ),
    sort(
        "twitch-at-switch-on",
        "motors that may jump when the power comes on",
        "Until its controller has started, the signal of a motor is undefined. A larger supply does not cure that.",
        "Parts that hold the signal (`switch on: held`), or controllers that do (`switch on: quiet`).",
    ),
    sort(
        "which-way-round",
        "a caution: parts with a plus and a minus",
        "An electrolytic capacitor the wrong way round heats up and bursts; a diode or a lamp the wrong way round does not work.",
        "Look twice before the first switch-on, and wear glasses.",
    ),
    sort(
        "wire-not-rated",
        "wire that carries more than it is rated for",
        "More flows through some wire than the thickest of the catalogue is rated for.",
        "Add a thicker wire to the workbook; divide the feed (`sections` in the rules), so that less flows through each; or less at once.",
    ),
    sort(
        "wire-thicker-than-tags",
        "wire that is thicker than the tags at which it ends take",
        "Long ways and heavy pulses ask for thick wire; the tag of a switch, a latch or a motor takes no more than `tag area` in the sheet Rates.",
        "Bars along the back of the panel, parted as the wires are by their fuses, with thin tails to the tags, or a strip beside each tag from which thinner wire leads on.",
    ),
];
