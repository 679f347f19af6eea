"""The words a find and what is read on it are described with."""

from django.db import models


class Stage(models.TextChoices):
    WET = "wet", "wet"
    SOAKING = "soaking", "soaking"
    CLEANING = "cleaning", "cleaning"
    DRYING = "drying", "drying"
    DONE = "done", "done"


class Standing(models.TextChoices):
    KEPT = "kept", "kept"
    FREE = "free", "free to take"
    PROMISED = "promised", "promised"
    HANDED_OVER = "handed-over", "handed over"
    RETURNED = "returned", "returned to an authority"
    LEFT = "left", "left in place"
    LOST = "lost", "lost or broken"


class Look(models.TextChoices):
    GROWTH = "growth", "keep some sea growth"
    NEAR_NEW = "near-new", "near new"


class Kind(models.TextChoices):
    SODA = "soda", "soda or mineral bottle"
    BEER = "beer", "beer bottle"
    WINE = "wine", "wine bottle"
    CASE = "case", "case or spirit bottle"
    FLASK = "flask", "flask"
    MEDICINE = "medicine", "medicine bottle"
    POISON = "poison", "poison bottle"
    INK = "ink", "ink bottle"
    MILK = "milk", "milk bottle"
    JAR = "jar", "jar"
    CORDIAL = "cordial", "cordial or sauce bottle"
    SCENT = "scent", "scent bottle or vial"
    TORPEDO = "torpedo", "round-bottomed bottle"
    JUG = "jug", "jug or demijohn"
    STOPPER = "stopper", "stopper"
    OTHER = "other", "other"


class Colour(models.TextChoices):
    AQUA = "aqua", "aqua"
    COLOURLESS = "colourless", "colourless"
    AMBER = "amber", "amber or brown"
    OLIVE = "olive", "olive or black"
    GREEN = "green", "green"
    COBALT = "cobalt", "cobalt blue"
    BLUE = "blue", "light blue"
    AMETHYST = "amethyst", "amethyst tint"
    STRAW = "straw", "straw tint"
    MILK = "milk-glass", "milk glass"
    RED = "red", "red or ruby"
    YELLOW = "yellow", "yellow"
    OTHER = "other", "other"


class Lie(models.TextChoices):
    UPRIGHT = "upright", "upright in silt"
    HALF = "half-buried", "half buried"
    PROUD = "proud", "proud of the bottom"
    BURIED = "buried", "buried"


class MakerHow(models.TextChoices):
    OPINION = "opinion", "by opinion"
    LIKELY = "likely", "likely"


class Certainty(models.TextChoices):
    CERTAIN = "certain", "certain"
    PROBABLE = "probable", "probable"
    DOUBTFUL = "doubtful", "doubtful"


class Contents(models.TextChoices):
    """What a bottle held, each a row of the dating service's contents.csv."""

    SODA = "soda", "soda or mineral water"
    BEER = "beer", "beer"
    LIQUOR = "liquor", "wine or spirits"
    MEDICINE = "medicine", "medicine"
    MILK = "milk", "milk"
    FOOD = "food", "food"
    OTHER = "other", "ink, scent, household or other"
    WINE = "wine", "wine"
    SPIRITS = "spirits", "spirits"
    CHAMPAGNE = "champagne", "sparkling wine"
    WATER = "water", "mineral water"
    GINGERBEER = "gingerbeer", "ginger beer"
    CIDER = "cider", "cider"
    BITTERS = "bitters", "bitters"
    POISON = "poison", "poison"
    VETERINARY = "veterinary", "animal medicine"
    CREAM = "cream", "cream"
    PRESERVES = "preserves", "preserves or jam"
    PICKLES = "pickles", "pickles"
    SAUCE = "sauce", "sauce or ketchup"
    OIL = "oil", "oil or vinegar"
    MUSTARD = "mustard", "mustard"
    EXTRACT = "extract", "essence or extract"
    INK = "ink", "ink"
    PERFUME = "perfume", "perfume or scent"
    COSMETICS = "cosmetics", "cosmetics or hair oil"
    CHEMICALS = "chemicals", "chemicals or acid"
    CLEANING = "cleaning", "bleach or cleaning"
    BLACKING = "blacking", "blacking or polish"
    GLUE = "glue", "glue or mucilage"
    SNUFF = "snuff", "snuff"
    FUEL = "fuel", "lamp oil or motor oil"


class Where(models.TextChoices):
    """Parts of a vessel where something can be read."""

    BASE = "base", "base"
    HEEL = "heel", "heel"
    BODY = "body", "body"
    SIDE = "side", "side"
    SHOULDER = "shoulder", "shoulder"
    NECK = "neck", "neck"
    LIP = "lip", "lip"
    RIM = "rim", "rim"
    CLOSURE = "closure", "stopper or cap"
