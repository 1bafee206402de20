"""The trade's words as the sheets use them, by subject."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Word:
    """A word of the trade and what it means here."""

    name: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Subject:
    """Words that belong together; `rooms` are the sheets' folders in which they are used."""

    name: str
    rooms: tuple[str, ...]
    words: tuple[Word, ...]


def _words(*pairs: tuple[str, str]) -> tuple[Word, ...]:
    return tuple(Word(*pair) for pair in pairs)


SUBJECTS = (
    Subject(
        "The work",
        (
            "wheel",
            "build",
            "shelf",
            "route",
            "made",
            "ordering",
            "copies",
            "device",
            "exchange",
            "glossary",
            "labels",
            "notes",
            "finding",
            "diary",
            "away",
        ),
        _words(
            ("Build", "One locomotive's wheels, from ordering the castings to the painted sets."),
            ("Casting", "One wheel, known by its mark: in work at a place on an axle, spare, or scrapped."),
            ("Spare", "A casting without a place on an axle, there for one that is spoiled."),
            (
                "Scrap",
                "To give up a casting that is spoiled, with the reason. Its history stays, and it can be undone.",
            ),
            ("Mark", "What is stamped or painted on a casting, so that it is never taken for another."),
            (
                "Pattern",
                "Castings made alike: driving, coupled, carrying, bogie or tender wheels. They replace each other.",
            ),
            ("Wheel set", "An axle with its two wheels. Axles are numbered from the leading end."),
            (
                "Stage",
                "Received, back faced, bored, pressed, quartered, tread turned, painted: what is ticked. The build's"
                " route says which is bored or turned first.",
            ),
            (
                "Batch",
                "The same operation on several wheels, one after the other at one setting of the lathe.",
            ),
            ("Let pass", "Ticked although a judge said no good or could not tell; the reason stays with it."),
        ),
    ),
    Subject(
        "Parts of a wheel",
        ("stock",),
        _words(
            ("Boss", "The middle of the wheel, round the bore; also called the hub."),
            ("Crank boss", "The lump beside it in which the crankpin sits; also called the crank web."),
            ("Rim", "The outer ring, with the tread and the flange."),
            ("Proud", "How far one face stands out from another, such as the boss from the rim."),
            ("Allowance", "Metal left on a rough casting to be cut away."),
            ("Clean up", "That a whole face comes bright within the metal there is."),
        ),
    ),
    Subject(
        "Setting true and cutting",
        ("truing", "cutting", "repeating", "figures", "hand"),
        _words(
            ("Four-jaw chuck", "One whose jaws move singly, so that a casting can be set true in it."),
            (
                "Run-out",
                "The full reading of the dial in a whole turn (TIR); the centre is off by half of it.",
            ),
            ("Wobble", "The same, read on a face: the wheel is not square to its axis."),
            ("Swing", "The largest diameter a lathe turns over its bed, its slide, or in its gap."),
            ("Feed", "How far the tool goes on with each turn of the work."),
            (
                "Reamer",
                "A tool that brings a bore to its own size in one pass, a little over or under as it happens.",
            ),
        ),
    ),
    Subject(
        "Measuring",
        ("measured", "workshop"),
        _words(
            ("Thou", "A thousandth of an inch, about a fortieth of a millimetre."),
            ("Limits", "The smallest and the largest a size may be."),
            (
                "Unsure by",
                "How far the true size may be from the reading; nineteen times of twenty it is nearer.",
            ),
            ("Out of round", "That one diameter of a bore differs from another across it."),
            ("Taper", "That a bore is wider at one end than at the other."),
            ("Plug gauge", "A plug of known size: its go end must enter a bore, its not-go end must not."),
        ),
    ),
    Subject(
        "Bore, seat and joint",
        ("bench", "joints", "pairing", "assembly"),
        _words(
            ("Seat", "The part of the axle that a wheel is fixed to, measured at each end."),
            ("Shoulder", "The step on the axle that the wheel comes up against."),
            (
                "Interference",
                "That the bore is smaller than its seat: the joint is pressed, or shrunk on hot.",
            ),
            ("Gap", "That the bore is larger than its seat; in a bond the compound fills it."),
            (
                "Bond",
                "A joint held by an anaerobic retaining compound, which hardens between metal without air.",
            ),
            ("Reserve", "How many times over a joint must hold what it is asked to carry."),
            ("Open time", "How long the compound lets the wheel be turned before it takes hold."),
            (
                "Cure",
                "The hardening: a bond is handled after the first hour or so, and loaded only after all of it.",
            ),
            (
                "Hoop stress",
                "The pull round a boss that an interference sets up. Iron cracks where it is too much.",
            ),
        ),
    ),
    Subject(
        "Mandrel and tread",
        ("mandrel", "treads", "returning", "tyres"),
        _words(
            (
                "Stub",
                "A stub mandrel: a bar turned true in the chuck it stays in, which carries a wheel by its bore.",
            ),
            ("Tread", "The surface that runs on the rail, a little coned."),
            ("Flange", "The lip that guides the wheel along the rail."),
            ("Tyre", "A steel ring shrunk on an iron wheel centre, which carries tread and flange."),
            ("Root", "The radius between the tread and the flange."),
            ("Back to back", "The distance between the inside faces of the two wheels of a set."),
            ("Group", "Wheels that rods join: their treads must be alike, or one of them slips."),
        ),
    ),
    Subject(
        "Cranks, rods and balance",
        ("cranks", "rods", "balance"),
        _words(
            (
                "Throw",
                "The distance from the axle's centre to the crankpin's: half the stroke of the piston.",
            ),
            ("Driven axle", "The axle that the pistons turn; the others are coupled to it by rods."),
            ("Crankpin", "The pin in the wheel on which the coupling rod runs."),
            (
                "Jig",
                "A plate with a plug for the bore and a bush for the drill: every pin hole comes at the same throw.",
            ),
            (
                "Quartering",
                "Setting the two pins of an axle a quarter turn apart; with three cylinders, a third.",
            ),
            ("Lead", "The side whose pin is ahead when the engine runs forwards."),
            ("Coupling rod", "The rod that joins the pins of the coupled wheels of one side."),
            ("Bush", "The bearing in a rod's end; what it is larger than the pin is its play."),
            ("Binding", "That the rods cannot follow the pins at some angle, and the wheels stick."),
            ("Balance weight", "The lump in a rim opposite the crank which makes up for pin and rods."),
        ),
    ),
)


def subject_of(room: str) -> Subject | None:
    """The words of a room of sheets; None where there are none.

    Example:
        >>> subject_of("rods").name
        'Cranks, rods and balance'
        >>> subject_of("cellar") is None
        True
    """
    return next((subject for subject in SUBJECTS if room in subject.rooms), None)
