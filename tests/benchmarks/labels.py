"""Processor time of 1,000 labels: python -m tests.benchmarks.labels

Prints seconds and the ratio to making the same codes alone, which is the floor.
"""

import os
import time

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
django.setup()

from catalogue.common.qr_code import modules  # noqa: E402
from catalogue.labels.label_text import LabelText  # noqa: E402
from catalogue.labels.sheet_pdf import label_sheet  # noqa: E402
from catalogue.labels.sheets import sheet  # noqa: E402

COUNT = 1000


def main() -> None:
    address = "http://192.168.1.20:8000/f/2026.14.{}"
    began = time.process_time()
    for piece in range(COUNT):
        modules(address.format(piece + COUNT))  # other numbers, so that nothing is remembered
    floor = time.process_time() - began
    labels = [
        LabelText(
            f"2026.14.{piece}",
            "Aqua ginger-beer bottle",
            "Quill & Sons, Marrowby",
            "one of 1926, 1936, 1946",
            address.format(piece),
        )
        for piece in range(COUNT)
    ]
    began = time.process_time()
    pdf = label_sheet(labels, sheet("a4-21"))
    took = time.process_time() - began
    rate = f"{took:.2f} s, {len(pdf) / 1000:.0f} kB; codes alone {floor:.2f} s; {took / floor:.2f}×"
    print(f"{COUNT} labels: {rate}")


if __name__ == "__main__":
    main()
