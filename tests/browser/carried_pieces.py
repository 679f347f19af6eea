"""Pages to carry away of thirty pieces, for browser tests.

python -m tests.browser.carried_pieces FOLDER [N] fills the catalogue of SILTMARK_DATA and writes them; with N
the exhibit comes in parts of so many pieces.
"""

import sys
from pathlib import Path

# Words that a search folds: accents, letters with strokes, signs, other scripts.
WRITTEN = (
    *("GÖTEBORG", "Grönholm & Søn", "Wave-Cola", "Tallow's", "Straße", "ŁÓDŹ", "Cœur", "Þórshöfn", "T&H"),
    *("ΑΘΗΝΑΣ", "Москва", "naïve", "ﬁn", "Ⅳ", "½ pint"),
)


def shown_pieces() -> None:
    """Thirty pieces, two of them free, each with a picture, and one with all the words that fold."""
    from catalogue.photos.models import Photo
    from catalogue.photos.services import take_in
    from catalogue.specimens.models import Inscription, Specimen
    from catalogue.specimens.services import Parts
    from tests import factories as make
    from tests.photos.drawn import jpeg

    maker, marrowby, ellarn = make.brackwater(), make.town(), make.town("Port Ellarn")
    coded = Parts(readings=[make.reading("BW", frame="none", symbol="wave", right="3")])
    lettered = Parts(inscriptions=[Inscription(where="body", text=" / ".join(WRITTEN))])
    make.find("Aqua soda bottle", coded, town=marrowby, standing="free", kind="soda", story="From ooze.")
    make.find("Ink cone", lettered, town=ellarn, standing="free", kind="ink")
    for n in range(28):
        make.find(f"Bottle {n}", town=ellarn if n % 2 else None, shared=True)
    for n, find in enumerate(Specimen.objects.in_order()):
        photo = jpeg(tint=n * 3, width=300 + n * 5, height=420)
        take_in(photo, subject=find, role=Photo.Role.AFTER)
    assert maker


if __name__ == "__main__":
    import django

    django.setup()
    from catalogue.pages.safekeeping.carried import make

    shown_pieces()
    if len(sys.argv) > 2:
        make.EXHIBITED_ON_A_PAGE = int(sys.argv[2])
    make.make_pages(Path(sys.argv[1]))
