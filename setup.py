"""What pyproject.toml can't say: packages are found by search, and two top-level folders travel in one."""

from setuptools import find_packages, setup

# Pages and styles stand at the top of a checkout; a wheel carries them inside the package (see
# `catalogue.environment.resource_folder`).
CARRIED = {"catalogue.templates": "templates", "catalogue.static": "static"}

setup(
    packages=[*find_packages(include=["catalogue*", "dating*", "demo_fixtures*"]), *CARRIED],
    package_dir=CARRIED,
    package_data={
        **{package: ["**/*"] for package in CARRIED},
        "catalogue": ["**/*.csv"],
        "dating": ["reference/*.csv"],
        "demo_fixtures": ["pictures/*.jpg", "scenario/*.toml"],
    },
    # MANIFEST.in says what the source archive carries; a wheel carries the above and nothing else.
    include_package_data=False,
)
