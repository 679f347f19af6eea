"""A probability in the words that every page uses: "90 % sure"."""

SURE_BEYOND = 0.994  # above it whole per cent would say certain
LEAST = 0.01


def sure(probability: float) -> str:
    """ "90 % sure" of a probability from 0 to 1; never 0 or 100 %."""
    if probability > SURE_BEYOND:
        return "over 99 % sure"
    if probability < LEAST:
        return "under 1 % sure"
    return f"{probability:.0%}".replace("%", " % sure")
