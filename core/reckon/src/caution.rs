//! What can hurt someone, said beside the result: on the screen, the command line, in the log and in the dossier.
//!
//! Each caution is written once and named by the reckonings that it belongs to.

/// One caution.
#[derive(Debug, PartialEq, Eq)]
pub struct Caution {
    /// Its name.
    pub name: &'static str,
    /// What it says.
    pub words: &'static str,
    /// Where it comes from, where a publication says it; otherwise common practice.
    pub source: &'static str,
}

macro_rules! cautions {
    ($($(#[doc = $doc:literal])* $name:ident = $words:literal, $source:literal;)*) => {
        $($(#[doc = $doc])* pub static $name: Caution = Caution { name: stringify!($name), words: $words, source: $source };)*
        /// Every caution.
        pub static ALL: &[&Caution] = &[$(&$name),*];
    };
}

cautions! {
    /// Stands beside every result.
    ESTIMATE = "This is an estimate. The product's data sheet, the local code and a licensed trade come before it; measure and try out before you buy or cut.", "";
    /// For whatever carries load.
    STRUCTURE = "This is no compliance check and no design approval. A change to structure, mast step, bulkhead, chain plate, ballast or steering goes to a surveyor or naval architect, and the insurer is told.", "";
    /// For resins.
    RESIN = "Resin and hardener make skin allergic for good: gloves and eye protection, no solvent on skin, no sanding before it is fully cured. Never let peroxide meet accelerator.", "";
    /// For mixed resin in a mass.
    EXOTHERM = "A full cup of mixed resin heats itself and can smoke and burn. Mix small batches, spread them in a flat tray at once, and put a hot pot outdoors on bare ground.", "";
    /// For solvents and styrene.
    SOLVENT = "Solvent and styrene vapour is heavier than air, lies in the bilge and can explode or stupefy. Air the boat from below with a fan whose motor stands outside, keep flames and switches away, and wear the mask of the data sheet. The limit for styrene at work is 100 ppm over eight hours in the United States; others are lower.", "OSHA, 29 CFR 1910.1000, table Z-2";
    /// For coatings.
    COATING = "Two-part finishes with isocyanate ask for supplied air, not a filter mask. Read the safety data sheet before the tin is opened.", "";
    /// For oily rags.
    RAGS = "Rags with linseed or other drying oil light themselves: lay them out flat outdoors or drown them in water.", "";
    /// For dust.
    DUST = "Dust of glass, hollow spheres, wood and old paint stays in the lungs: extract it, sand wet where you can, and wear at least a P2 mask, P3 for old antifouling.", "";
    /// For old coatings.
    LEAD = "Old paint and antifouling may hold lead, tin or copper: test first, then neither sand it dry nor burn it off. In the United States work above 30 micrograms of lead in a cubic metre of air asks for measures, and 50 is the limit over eight hours.", "29 CFR 1926.62";
    /// For old lagging.
    ASBESTOS = "Lagging on an old exhaust, and old gaskets, may be asbestos: leave it alone until it has been tested.", "";
    /// For decks with weak cores.
    WET_DECK = "A deck with a wet core carries less than it looks. Mark where nobody may step, shore the lower skin before the upper one is cut, and keep weight off it until the new skin has cured.", "";
    /// For meters and cutting.
    METER = "A meter points to a place; it proves nothing. Confirm with a small sample before a deck is cut, and look for cables, pipes and tanks behind it first.", "";
    /// For cutting into live decks.
    CABLES = "Unplug shore power and take the battery's main fuse out before a deck is opened; plug outdoor tools into a residual-current device.", "";
    /// For fuel tanks and hot work.
    FUEL_TANK = "An empty fuel tank explodes more easily than a full one. Petrol tanks are licensed work only. No cutting, grinding or welding until a competent person has measured that the vapour is under a tenth of what can explode and that the air has 19.5 to 22 per cent of oxygen.", "29 CFR 1915.12 and 1915.14";
    /// For small spaces.
    CONFINED = "A tank, lazarette or locker can hold air that kills without a smell. Measure oxygen first, then what can burn, then what is poisonous; air it all the time, and have somebody outside who does not come in after you.", "29 CFR 1915.12";
    /// For waste tanks.
    WASTE_TANK = "A waste tank gives off hydrogen sulphide, which dulls the nose before it kills, and methane, which burns. Never lean in; air it, wet everything, wear gloves and eye protection, and do not eat there.", "";
    /// For pressure tests.
    PRESSURE = "Air under pressure stores energy that a flat or old tank lets go at once. Never go above the low pressure of the test, always with a gauge and a relief valve, and never with oxygen or on a tank that held petrol vapour.", "";
    /// For lifting.
    LIFTING = "Lift with gear whose marked limit is above the whole mass, what is left inside counted, and let nobody stand below or reach under.", "";
    /// For a boat ashore.
    STANDS = "Moving ballast, tanks or an engine moves the boat's weight on its stands. Have the boat blocked again by the yard before you begin, and look at the stands after each lift.", "";
    /// For ballast.
    BALLAST = "Taking out low ballast, or putting lighter stuff in its place, makes a boat less stable. Ask a naval architect before it goes back in the water.", "";
    /// For cement.
    CEMENT = "Wet cement burns skin and eyes without hurting at first: waterproof gloves, long sleeves, rinse at once. Break old concrete wet, with a P3 mask.", "";
    /// For work at the shaft seal.
    SHAFT = "Lock the engine out before you put a hand to the coupling. A shaft seal opened afloat needs a plug and a working pump at hand; better, haul out.", "";
    /// For heaters and engines inside.
    MONOXIDE = "Heaters, engines and torches make carbon monoxide, which has no smell. Put an alarm where people work and sleep, and never leave a heater alone with fresh resin or solvent.", "";
    /// For work alone.
    ALONE = "If you work alone where there is no signal, tell somebody where you are and when you will call.", "";
    /// For screws and bolts in old structure.
    FASTENING = "The values hold for sound, dry wood. Test a fastening in a scrap of the same wood; lifelines, cleats and chain plates need through bolts and backing, and a person's eye on the wood.", "";
    /// For power tools.
    TOOLS = "Blades and cutters throw small pieces: clamp the work, wear eye and ear protection, and keep hands behind the blade's line.", "";
    /// For money and time.
    MONEY = "Estimates of labour and cost are no quotation and no valuation.", "";
}
