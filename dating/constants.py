"""The numbers that are our own choice, each with its reason; the reference page shows them all."""

from typing import NamedTuple, TypeVar

T = TypeVar("T")


class Assumption(NamedTuple):
    """One number of our own: its name, value, unit and why it is so."""

    name: str
    value: object
    unit: str
    reason: str


ASSUMPTIONS: list[Assumption] = []

# The state of the arithmetic: changed where an answer changes though no table and no number below does, so
# that what was dated by older rules is dated again.
RULES = "6: where all pieces together would hold too little, the window rests on fewer"


def _own(name: str, value: T, unit: str, reason: str) -> T:
    ASSUMPTIONS.append(Assumption(name, value, unit, reason))
    return value


AXIS_START = _own("First year considered", 1600, "year", "sea finds of glass bottles hardly go back further")
PRIOR = _own(
    "Chance of a period before anything is read",
    ((1600, 1749, 0.154, 1.0), (1750, 1849, 0.257, 4.0), (1850, 1985, 0.559, 1.0), (1986, 9999, 0.03, 1.0)),
    "from, to, share, last year to first",
    "wide on purpose, and without a step: one at 1800 pulled level years to it; one with 2 % before 1800 was "
    "confidently wrong on old seals, so a quarter lies there",
)

CERTAINTY = _own(
    "Weight of a certainty",
    {"certain": 0.99, "probable": 0.8, "doubtful": 0.5},
    "chance that the observation is right",
    "even a sure look errs now and then; doubtful is the toss of a coin",
)
RELIABILITY = _own(
    "Weight of a published row",
    {"published": 1.0, "partly": 0.97, "memory": 0.93},
    "factor on the certainty",
    "what a compiler set or recalled, in part or wholly, and did not read is a little less sure",
)
ELSEWHERE = _own(
    "Weight of a row used outside its region or contents",
    0.5,
    "factor on the certainty",
    "trades copied each other, years late or early",
)

MARK_ELSEWHERE = _own(
    "Share of a mark of another country than the bottle's",
    0.25,
    "factor",
    "bottles travelled, but most that were filled in a country were made there",
)

TAIL_HALVES = _own(
    "A side without a limit halves every", 20, "years", "old moulds and habits lasted a working life"
)
CIRCA = _own("Circa adds on its side", 5, "years", "how authors use the word; no source gives a width")
FIRM = _own(
    "Known only from the years of a firm, adds on each side",
    10,
    "years",
    "directories run late, moulds outlive their firm",
)

TABLED_SHARE = _own(
    "Chance that a mark is in the tables",
    0.8,
    "probability",
    "the tables hold the common makers; marks of few bottles come on top, so that however many are added "
    "they take nothing from the others",
)
UNTABLED_SHARE = _own("Chance that it is not", 0.2, "probability", "the rest")
COMMONNESS = _own(
    "A maker whose mark few, some or many bottles bear, or one of your own, counts as",
    {"few": 0.05, "some": 1.0, "many": 2.0, "own": 4.0},
    "makers",
    "few do not bound the window beside some of the same letters, even one of a maker's three variants; "
    "many do not outdo a clean reading of another mark, as three times would; whoever adds a maker has its "
    "bottles where they dive",
)
UNTABLED_LETTERS = _own(
    "An inscription in no table is no less likely than so many letters at random",
    5,
    "letters",
    "names and words are cut, not letters at random: if each letter counted, any long one would be taken "
    "for a mark of the tables that hardly resembles it",
)
PLAIN_WORDS = _own(
    "Chance that an inscription in no table is this town, phrase or word of the trade",
    0.01,
    "probability",
    "one of some hundred that are often cut on bottles",
)
LETTER_RIGHT = _own(
    "A letter seen right", 0.95, "probability", "legible ware; no measured figure is known to us"
)
LETTER_WORN = _own(
    "A letter taken for one it resembles when worn",
    0.03,
    "probability",
    "one letter in thirty on sanded bases",
)
LETTER_WRONG = _own(
    "A letter taken for any other", 0.0006, "probability", "the remaining 2 % shared by the alphabet"
)
LETTER_LOST = _own("A letter lost, or added by a scratch", 0.02, "probability", "edges wear first")
END_LOST = _own(
    "A whole end of a mark worn off, at least",
    LETTER_LOST**2,
    "probability",
    "beyond two letters it is one event, such as a word under growth or left out; for readings of four "
    "letters or more",
)
FEATURE_RIGHT = _own("Frame, symbol or arrangement seen right", 0.95, "probability", "as for a letter")
FEATURE_MISSED = _own(
    "Frame, symbol or arrangement missed", 0.1, "probability", "thin lines wear off before letters"
)
FEATURE_WRONG = _own(
    "Frame, symbol or arrangement taken for another", 0.01, "probability", "shapes are told apart well"
)
TURNED = _own(
    "Read upside down or mirrored",
    0.02,
    "probability",
    "a lone base has no top; rubbings are seen from behind",
)
CONFUSED_WHEN_WORN = _own(
    "Letters that resemble each other when worn",
    ("O0QDCG", "I1LT", "5S", "8B3", "2Z", "MW", "NZ", "VU"),
    "groups",
    "common practice among readers of marks, no source; an ampersand is taken for an 8 as well",
)
CODE_RIGHT = _own(
    "Characters where a year code stands are that code",
    0.97,
    "probability",
    "the rest are mould numbers in its place",
)
CODE_OTHER = _own("Characters there are a mould number", 0.03, "probability", "the rest of the above")
CODE_ABSENT = _own(
    "A code that should be there is not", 0.03, "probability", "worn off, or a mould without one"
)
SUPPORT_SHARE = _own(
    "A mark counts for the window when its reading is at least this share of the best",
    0.2,
    "ratio",
    "one worn feature may be overlooked, a different letter not",
)
UNKNOWN_SILENCES = _own(
    "A reading bounds nothing when the chance of a mark outside the tables is above",
    0.5,
    "probability",
    "a mark that is more likely none of the tables must not cut the window",
)

HEADLINE_LEAST = _own(
    "A window is stated only when it holds at least",
    0.5,
    "of the posterior",
    "a headline that is more likely wrong than right is worse than none",
)
HEADLINE_SURE = _own(
    "A window says “probably” when it holds less than",
    0.8,
    "of the posterior",
    "the weight of a probable look, which says “probably” too",
)
NAMED_LEAST = _own(
    "A mark that does not date is named all the same when its chance is at least",
    0.05,
    "probability",
    "one in twenty is worth a look in the tables, less is noise",
)

LIKELY = _own("The likely years hold", 0.9, "probability", "common practice")
HALF = _own("The likeliest half holds", 0.5, "probability", "common practice")
TIE = _own("Two years tie within", 1e-9, "relative", "rounding of the arithmetic, nothing else")
PLATEAU = _own(
    "The evidence falls off where it is lower by",
    1e-3,
    "relative",
    "less is the shadow of an unlikely mark",
)
LEVEL_WITHIN = _own(
    "Years are evenly likely within",
    0.05,
    "relative, of the highest",
    "nobody could tell them apart",
)
STANDS_OUT = _own(
    "A year stands out where every other is at most this likely beside it",
    0.5,
    "ratio",
    "twice as likely as the next can be said of one year",
)
SOFT_CONFLICT = _own(
    "Two pieces quarrel when together they nowhere pass",
    0.05,
    "product of their shapes",
    "both would be rare birds",
)

EFFORT = _own(
    "Effort of a look",
    {"a glance": 1.0, "a loupe": 1.5, "a lamp": 2.0, "cleaning first": 4.0},
    "divides the gain",
    "rough minutes at the bench, to put the easy looks first",
)
CANNOT_TELL = _own(
    "Chance of not being able to tell",
    {"a glance": 0.05, "a loupe": 0.15, "a lamp": 0.2, "cleaning first": 0.3},
    "probability",
    "finer traces are lost more often on sanded glass",
)
COPY_SHARE = _own(
    "Chance that something that was copied later is a copy, where nobody looked for its signs",
    0.1,
    "probability",
    "few of those that lay under water are; it only ranks the question, and never enters the years",
)
NONE_OF_THESE = _own(
    "Weight of “none of these” beside the answers to a question",
    1.0,
    "as one answer in full use",
    "the tables do not hold every form",
)
