//! The fixed words of the catalogue: attributes, roles, what a rule counts, conditions, measures, stages.
//!
//! These are mechanics, known to the code; what they are used for is data. Each word is written as [`Word::word`] says.

use crate::name::same;
use crate::quantity::Dimension;

/// A word of a fixed list.
pub trait Word: Copy + Sized + 'static {
    /// All words of the list.
    const ALL: &'static [Self];

    /// The word in files and print.
    fn word(self) -> &'static str;

    /// Reads a word, as names are compared.
    fn from_word(text: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|word| same(word.word(), text))
    }
}

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $text:literal,)+ })+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant,)+ }

        impl Word for $name {
            const ALL: &'static [Self] = &[$(Self::$variant,)+];

            fn word(self) -> &'static str {
                match self { $(Self::$variant => $text,)+ }
            }
        }
    )+};
}

words! {
    /// An attribute of a part, by which it is chosen or of which it has a capacity.
    Attr {
        /// Length, of stock, lead or screw.
        Length = "length",
        /// Diameter.
        Diameter = "diameter",
        /// Depth taken under the board.
        Depth = "depth",
        /// Width lost to a saw cut.
        Kerf = "kerf",
        /// Cross-section of copper.
        Area = "area",
        /// Voltage.
        Voltage = "voltage",
        /// Current it can give, carry or break; of a motor, what it draws at most.
        Current = "current",
        /// Power, dissipated or given.
        Power = "power",
        /// Resistance.
        Resistance = "resistance",
        /// Resistance per length.
        LineResistance = "line resistance",
        /// Capacitance.
        Capacitance = "capacitance",
        /// Energy stored.
        Energy = "energy",
        /// Time to recharge.
        Time = "time",
        /// Drives a controller serves.
        Channels = "channels",
        /// Pins of a connector, places of a strip.
        Ways = "ways",
        /// Levers an encoder reads.
        Inputs = "inputs",
        /// Lamps an encoder lights.
        Outputs = "outputs",
        /// Matings a connector lasts.
        Life = "life",
        /// Poles of a switch or contact.
        Poles = "poles",
        /// `momentary`, `maintained` or `reversing`.
        Action = "action",
        /// `AC` or `DC`.
        Waveform = "waveform",
        /// Colour, by the letters of IEC 60757 or a word.
        Colour = "colour",
        /// Size by a trade or standard name, such as `M2`.
        Size = "size",
    }

    /// What a kind of part is for: what the code must know of it, and where its cost is shown.
    Role {
        /// Moves something.
        Motor = "motor",
        /// Drives motors on command.
        Controller = "controller",
        /// Reads levers and lights lamps at the panel.
        Encoder = "encoder",
        /// Stores the energy of pulses.
        DischargeUnit = "discharge unit",
        /// Lengthens a motor's tail.
        Lead = "lead",
        /// Links panel and controllers.
        Link = "link",
        /// Single conductors.
        Wire = "wire",
        /// Parts at a joint.
        Connector = "connector",
        /// Anything else of the wiring: strips, clips, sleeves, diodes.
        WiringSundry = "wiring sundry",
        /// What the operator throws.
        Switch = "switch",
        /// A lamp, on the panel or the layout.
        Lamp = "lamp",
        /// A resistor.
        Resistor = "resistor",
        /// Anything else of the panel.
        PanelSundry = "panel sundry",
        /// Breaks a feed when too much flows.
        Fuse = "fuse",
        /// Gives power.
        Supply = "supply",
        /// Changes a frog over or proves a drive.
        Contact = "contact",
        /// Holds a motor.
        Bracket = "bracket",
        /// Carries the movement.
        Rod = "rod",
        /// Screws, nuts, glue.
        Fixing = "fixing",
        /// A tool; it counts once and only if it is not owned.
        Tool = "tool",
    }

    /// Where the money goes, as `compare` stacks it.
    CostGroup {
        /// Motors.
        Motors = "motors",
        /// Controllers, encoders, discharge units.
        Control = "control",
        /// Wire, leads, links, connectors.
        Wiring = "wiring",
        /// Switches and lamps.
        Panel = "panel",
        /// Supplies and fuses.
        Supply = "supply",
        /// Brackets, rods, contacts, fixings.
        Mechanics = "mechanics",
        /// Tools.
        Tools = "tools",
    }

    /// What a rule or a task counts.
    Per {
        /// Each drive.
        Drive = "drive",
        /// Each lever.
        Lever = "lever",
        /// Each frog to change over.
        Frog = "frog",
        /// Each frog to change over, less the contacts that come with its drive.
        FrogToContact = "frog to contact",
        /// Each panel lamp.
        Lamp = "lamp",
        /// Each semaphore arm.
        Arm = "arm",
        /// Each light of a signal or other device.
        Aspect = "aspect",
        /// Each signal.
        Signal = "signal",
        /// Each controller.
        Controller = "controller",
        /// The panel.
        Panel = "panel",
        /// Each encoder: what reads the levers of drives with controllers, as many as are counted for the feeds.
        Encoder = "encoder",
        /// Each supply to buy.
        Supply = "supply",
        /// Each branch of a feed that takes a fuse of its own, since the feed's would not protect its thinner wires.
        Branch = "branch",
        /// Each board.
        Board = "board",
        /// Each joint that conductors cross.
        Joint = "joint",
        /// Each pin in use at a joint, of the plug and the socket that it meets together.
        JointPin = "joint pin",
        /// Each route.
        Route = "route",
        /// The layout.
        Layout = "layout",
    }

    /// When a rule counts.
    Condition {
        /// The drive moves a tie bar.
        TieBar = "tie bar",
        /// The drive moves an arm.
        Arm = "arm",
        /// The drive moves a gate.
        Gate = "gate",
        /// The drive moves an uncoupler.
        Uncoupler = "uncoupler",
        /// The motor's tail does not reach its controller.
        TailShort = "tail short",
        /// The frog of the turnout is live.
        LiveFrog = "live frog",
        /// The frog of the turnout is insulated.
        InsulatedFrog = "insulated frog",
        /// The frog of the turnout is fed by the blades.
        BladeFedFrog = "blade fed frog",
        /// The device is in sight.
        Scenic = "scenic",
        /// The device is out of sight.
        Hidden = "hidden",
        /// It only lights: a colour light or lamp, or the lever that switches it.
        LightsOnly = "lights only",
        /// The panel is fixed to a board.
        FixedPanel = "fixed panel",
        /// The panel is on a flying lead.
        FlyingPanel = "flying panel",
        /// There is no panel.
        NoPanel = "no panel",
        /// Panel lamps show what the lever asks for.
        LampsCommanded = "lamps commanded",
        /// Panel lamps show what is proved.
        LampsProved = "lamps proved",
        /// The panel lamp has a resistor of its own: of two that light in turn across the wires of a motor that is reversed, the second shares that of
        /// the first.
        OwnResistor = "own resistor",
        /// The contact that proves the drive must be fitted: none that comes with it is left over by its frogs.
        ContactToFit = "contact to fit",
        /// A part of the drive's assembly holds it still at switch-on.
        HeldAtSwitchOn = "held at switch-on",
        /// The layout comes apart.
        Portable = "portable",
        /// The joint is a flying lead.
        FlyingLead = "flying lead",
        /// The supply must be bought; one that is owned still wants its fuse.
        SupplyToBuy = "supply to buy",
        /// The feed is direct current.
        Dc = "DC",
        /// The feed is alternating current.
        Ac = "AC",
    }

    /// What wiring and mechanics measure for a subject.
    Measure {
        /// The length of the subject's wire runs: one piece for each.
        RunLength = "run length",
        /// The cross-section that keeps drop and current of the subject's runs within the rules.
        WireArea = "wire area",
        /// The length an extension must have at least; of a joint, the length of the lead that hangs there.
        LeadLength = "lead length",
        /// The length of the link to the subject: one piece.
        LinkLength = "link length",
        /// The length of its rod.
        RodLength = "rod length",
        /// The length of its bracket.
        BracketLength = "bracket length",
        /// Conductors at the subject.
        Conductors = "conductors",
        /// Conductors that end at terminal strips of the board, of the row's scheme, or of the lights; of a supply, of the strips beside its socket and
        /// fuse; of the layout, of those beside discharge unit and encoder.
        StripWays = "strip ways",
        /// Bridges between ways of those strips; of a joint, of the strip of tails on each half.
        StripBridges = "strip bridges",
        /// What a way of those strips must be rated for: what the fuse before it lets through, or a pulse through it heats like; of the ratings to be had
        /// the least that bears that. Of a drive, of the strip beside it.
        StripCurrent = "strip current",
        /// Ends of the subject's wires that stand under a screw, each of which wants a ferrule.
        ScrewedEnds = "screwed ends",
        /// The same of the cores of its links.
        LinkEnds = "link ends",
        /// Short wires behind the lever: from it and its lamps to encoder or latch, and on to the next lever.
        PanelWires = "panel wires",
        /// Ends of these wires that stand under a screw.
        PanelEnds = "panel ends",
        /// Changeover contacts that must be fitted so that the drive is proved: those beyond what comes with it and serves no frog.
        ContactsToFit = "contacts to fit",
        /// Ends of wire on the board or in the panel, each of which bears a label.
        WireEnds = "wire ends",
        /// Channels of the controller.
        Channels = "channels",
        /// Plugs of the joint.
        Plugs = "plugs",
        /// Ways of each plug of the joint; of a lever that only lights, its positions: one for each light, and one for dark.
        Ways = "ways",
        /// The thickest wire that a pin takes of any connector sold for joints.
        PinArea = "pin area",
        /// Tails on each half of the joint: one to each pin of what is thicker than a pin takes, or spread over several.
        Tails = "tails",
        /// The length of a tail: one piece for each, on both halves.
        TailLength = "tail length",
        /// How often the joint is plugged over the years of the rules.
        Matings = "matings",
        /// Voltage of the supply.
        Voltage = "voltage",
        /// Current of the supply.
        Current = "current",
        /// What the lead of the supply must be rated for, up to the largest that is sold: what the supply may give, since the fuse stands behind the lead.
        SupplyCurrent = "supply current",
        /// Rating of the fuse of the supply's feed, or of the branch.
        FuseRating = "fuse rating",
        /// Energy that a discharge unit must store, so that all coils on one lever get what they need.
        PulseEnergy = "pulse energy",
        /// Capacitance that must be marked on a discharge unit for the same.
        PulseCapacitance = "pulse capacitance",
    }

    /// The stages of the build, in the order they are done.
    Stage {
        /// Making brackets, rods, labels.
        Preparing = "preparing",
        /// Fitting under the boards.
        Fitting = "fitting",
        /// Running and joining wire.
        Wiring = "wiring",
        /// The panel.
        Panel = "panel",
        /// Setting ends and strokes.
        Setting = "setting",
        /// Testing.
        Testing = "testing",
    }
}

impl Attr {
    /// What the attribute measures; `None` for a text.
    pub fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Length | Self::Diameter | Self::Depth | Self::Kerf => Some(Dimension::Length),
            Self::Area => Some(Dimension::Area),
            Self::Voltage => Some(Dimension::Voltage),
            Self::Current => Some(Dimension::Current),
            Self::Power => Some(Dimension::Power),
            Self::Resistance => Some(Dimension::Resistance),
            Self::LineResistance => Some(Dimension::LineResistance),
            Self::Capacitance => Some(Dimension::Capacitance),
            Self::Energy => Some(Dimension::Energy),
            Self::Time => Some(Dimension::Time),
            Self::Channels | Self::Ways | Self::Inputs | Self::Outputs | Self::Life | Self::Poles => Some(Dimension::Count),
            Self::Action | Self::Waveform | Self::Colour | Self::Size => None,
        }
    }
}

impl Measure {
    /// What the measure measures.
    pub fn dimension(self) -> Dimension {
        match self {
            Self::RunLength | Self::LeadLength | Self::LinkLength | Self::RodLength | Self::BracketLength | Self::TailLength => {
                Dimension::Length
            }
            Self::Conductors
            | Self::StripWays
            | Self::StripBridges
            | Self::ScrewedEnds
            | Self::LinkEnds
            | Self::PanelWires
            | Self::PanelEnds
            | Self::ContactsToFit
            | Self::WireEnds
            | Self::Channels
            | Self::Plugs
            | Self::Ways
            | Self::Tails
            | Self::Matings => Dimension::Count,
            Self::WireArea | Self::PinArea => Dimension::Area,
            Self::Voltage => Dimension::Voltage,
            Self::Current | Self::FuseRating | Self::StripCurrent | Self::SupplyCurrent => Dimension::Current,
            Self::PulseEnergy => Dimension::Energy,
            Self::PulseCapacitance => Dimension::Capacitance,
        }
    }
}

impl Role {
    /// Whether such a part is active: with electronics or windings that may fail, so that an exhibition kit holds a spare.
    pub fn is_active(self) -> bool {
        matches!(self, Self::Motor | Self::Controller | Self::Encoder | Self::DischargeUnit | Self::Supply)
    }

    /// Where the cost of such parts is shown.
    pub fn group(self) -> CostGroup {
        match self {
            Self::Motor => CostGroup::Motors,
            Self::Controller | Self::Encoder | Self::DischargeUnit => CostGroup::Control,
            Self::Lead | Self::Link | Self::Wire | Self::Connector | Self::WiringSundry => CostGroup::Wiring,
            Self::Switch | Self::Lamp | Self::Resistor | Self::PanelSundry => CostGroup::Panel,
            Self::Fuse | Self::Supply => CostGroup::Supply,
            Self::Contact | Self::Bracket | Self::Rod | Self::Fixing => CostGroup::Mechanics,
            Self::Tool => CostGroup::Tools,
        }
    }
}
