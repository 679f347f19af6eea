"""What pyproject.toml can't say: packages found by search, two folders in one, a font."""

import sys
from pathlib import Path

from setuptools import find_packages, setup
from setuptools.command.build_py import build_py

ROOT = Path(__file__).resolve().parent

# Pages and styles stand at the top of a checkout; a wheel carries them inside the package (see
# `catalogue.environment.resource_folder`).
CARRIED = {"catalogue.templates": "templates", "catalogue.static": "static"}


class BuildWithFace(build_py):
    """Makes the font of headings first, for a wheel and for an editable install."""

    def run(self) -> None:
        sys.path.insert(0, str(ROOT))
        from catalogue.common.face import make_face

        make_face(ROOT / "static" / "common")
        super().run()


setup(
    cmdclass={"build_py": BuildWithFace},
    packages=[*find_packages(include=["catalogue*", "dating*", "demo_fixtures*"]), *CARRIED],
    package_dir=CARRIED,
    package_data={
        **{package: ["**/*"] for package in CARRIED},
        "catalogue": ["**/*.csv", "**/*.sqlite3"],
        "dating": ["reference/*.csv"],
        "demo_fixtures": ["pictures/*.jpg", "pictures/*.webp", "scenario/*.toml"],
    },
    # MANIFEST.in says what the source archive carries; a wheel carries the above and nothing else.
    include_package_data=False,
)
