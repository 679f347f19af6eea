"""The arithmetic of a bath against what other people published; each test names where its figures stand.

Read in copies, as collected in the project's facts (`chemistry.json`):
- liquisearch: “Hydrochloric acid”, table of physical properties at 20 °C, as copied at
  liquisearch.com/hydrochloric_acid/physical_properties (an encyclopaedia's article; it may itself go back to
  Perry, so it proves that we remember the table well).
- advancedthermo: “Density of hydrochloric acid, HCl(aq)”, advancedthermo.com/electrolytes/density_HCl.html,
  another model.
- Concrete Construction magazine, “What is muriatic acid?”, concreteconstruction.net.
- CHE3165 tutorial, week 1 (Monash University), which cites Perry: scribd.com/document/466285211.
- Engineering Toolbox, “Water: density and specific weight”, engineeringtoolbox.com.
What is called computed was worked out from atomic weights (IUPAC) and the densities, apart from this code.
"""

import math

import pytest

from catalogue.care.chemistry import (
    MOLAR_VOLUME_20C,
    Acid,
    BadQuantity,
    bath_plan,
    density,
    headspace_ppm,
    mixed,
    specific_gravity,
    strength_of_baume,
    weak_acids,
)

WITHIN = 0.01


@pytest.mark.parametrize(
    ("wt_pct", "mol_per_l"),
    [(10, 2.87), (20, 6.02), (30, 9.45), (32, 10.17), (34, 10.90), (36, 11.64), (38, 12.39)],
)
def test_published_table_of_hydrochloric_acid_at_20_c(wt_pct: float, mol_per_l: float) -> None:
    """liquisearch, “mol/l”, three figures."""
    undiluted = mixed(1000, 0, wt_pct)
    assert undiluted.mol_per_l == pytest.approx(mol_per_l, rel=WITHIN)


@pytest.mark.parametrize(
    ("wt_pct", "g_per_ml"),
    [(10, 1.048), (20, 1.098), (30, 1.149), (32, 1.159), (34, 1.169), (36, 1.179), (38, 1.189)],
)
def test_published_densities_at_20_c(wt_pct: float, g_per_ml: float) -> None:
    """liquisearch, “density”."""
    assert density(wt_pct) == pytest.approx(g_per_ml, abs=0.001)


@pytest.mark.parametrize(
    ("molality", "g_per_ml"),
    [(0.5, 1.00583), (1.0, 1.0142), (2.0, 1.03008), (3.0, 1.045), (4.0, 1.05905), (6.0, 1.08485)],
)
def test_published_model_of_densities_at_25_c(molality: float, g_per_ml: float) -> None:
    """advancedthermo, by molality."""
    wt = 100 * molality * 36.461 / (1000 + molality * 36.461)
    assert density(wt, 25) == pytest.approx(g_per_ml, abs=0.0006)


def test_twenty_baume_as_a_building_trade_magazine_prints_it() -> None:
    """Concrete Construction magazine."""
    assert specific_gravity(20) == pytest.approx(1.160, abs=0.0005)
    assert strength_of_baume(20) == pytest.approx(31.45, rel=WITHIN)


@pytest.mark.parametrize(
    ("baume", "wt_pct"), [(16, 24.57), (18, 27.92), (19, 29.65), (21, 33.31), (22, 35.21)]
)
def test_other_baume_strengths_of_trade_labels_from_memory(baume: float, wt_pct: float) -> None:
    """Value from memory, no source; they follow from the modulus of 145 and the densities."""
    assert strength_of_baume(baume) == pytest.approx(wt_pct, rel=WITHIN)


@pytest.mark.parametrize(("acid_ml", "water_ml"), [(236.6, 3785.4)])
def test_half_a_pint_to_a_gallon_is_about_two_per_cent(acid_ml: float, water_ml: float) -> None:
    """Concrete Construction magazine: half a US pint of 20 °Bé acid in a US gallon of water, "about 2 %"."""
    bath = mixed(acid_ml, water_ml, 31.45)
    wt = bath.mol * 36.461 / (acid_ml * density(31.45) + water_ml * density(0)) * 100
    assert wt == pytest.approx(2.1, abs=0.15)


def test_fifteen_parts_to_eighty_five_computed() -> None:
    plan = bath_plan(1000, 1.0, 0, 15, 85, 31.45)
    assert plan.bath.mol_per_l == pytest.approx(1.500, rel=WITHIN)
    assert plan.wt_pct == pytest.approx(5.34, rel=WITHIN)
    per_litre = 1000 / plan.bath.volume_ml
    assert plan.bath.dissolves_g * per_litre == pytest.approx(75.1, rel=WITHIN)
    assert plan.bath.gas_l() * per_litre == pytest.approx(18.05, rel=WITHIN)
    assert plan.bath.neutraliser_g() * per_litre == pytest.approx(126, rel=WITHIN)
    assert plan.bath.neutraliser_g("soda ash") * per_litre == pytest.approx(79.5, rel=WITHIN)
    assert plan.bath.neutraliser_g("soda ash, one water") * per_litre == pytest.approx(93.0, rel=WITHIN)
    assert plan.bath.neutraliser_g("washing soda crystals") * per_litre == pytest.approx(214.7, rel=WITHIN)
    assert plan.bath.neutraliser_g("slaked lime") * per_litre == pytest.approx(55.6, rel=WITHIN)


@pytest.mark.parametrize(
    ("wt_pct", "acid", "mol_per_l", "mixed_pct"),
    [
        (31.45, 5, 0.4994, 1.808),
        (31.45, 20, 2.0014, 7.064),
        (14.5, 15, 0.6388, 2.307),
        (20, 15, 0.9045, 3.251),
        (27.92, 15, 1.3108, 4.679),
        (36, 15, 1.7521, 6.209),
    ],
)
def test_the_same_parts_of_other_acids_are_other_baths_computed(
    wt_pct: float, acid: float, mol_per_l: float, mixed_pct: float
) -> None:
    plan = bath_plan(1000, 1, 0, acid, 100 - acid, wt_pct)
    assert plan.bath.mol_per_l == pytest.approx(mol_per_l, rel=WITHIN)
    assert plan.wt_pct == pytest.approx(mixed_pct, rel=WITHIN)


def test_what_is_left_of_four_litres_after_120_g_of_growth_computed() -> None:
    left = Acid(4000, 4 * 1.5004).after(120)
    assert left.mol_per_l == pytest.approx(0.901, rel=WITHIN)
    assert left.neutraliser_g() == pytest.approx(303, rel=WITHIN)
    # three hundred grams take all of it, and more can't take more than all
    assert left.after(1000).mol == 0


def test_a_published_vapour_pressure() -> None:
    """CHE3165 tutorial: 1.02 mmHg of hydrogen chloride over 22 % at 30 °C."""
    assert headspace_ppm(22, 30) * 760 / 1e6 == pytest.approx(1.02, rel=WITHIN)


@pytest.mark.parametrize(("wt_pct", "total_kpa"), [(20, 1.4), (30, 2.13), (32, 3.73), (34, 7.24), (36, 14.5)])
def test_acid_alone_never_weighs_more_than_the_published_total_vapour(
    wt_pct: float, total_kpa: float
) -> None:
    """liquisearch, total vapour pressures at 20 °C: they leave a small, falling share for water."""
    acid_kpa = headspace_ppm(wt_pct) * 101.325 / 1e6
    assert 0.3 < total_kpa - acid_kpa < 1.5


@pytest.mark.parametrize(("temperature_c", "ppm"), [(20, 0.69), (40, 5.9), (60, 39)])
def test_the_air_over_a_usual_bath_computed(temperature_c: float, ppm: float) -> None:
    """As the row of hot water says; computed from Perry's constants of 4 and 6 %, so no second source."""
    assert headspace_ppm(5.34, temperature_c) == pytest.approx(ppm, rel=0.03)


@pytest.mark.parametrize(("temperature_c", "g_per_ml"), [(10, 0.9997), (20, 0.9982), (40, 0.9922)])
def test_published_densities_of_water(temperature_c: float, g_per_ml: float) -> None:
    """Engineering Toolbox: 999.7, 998.2 and 992.2 kg/m³."""
    assert density(0, temperature_c) == pytest.approx(g_per_ml, abs=0.00006)


def second_differences(values: list[float]) -> list[float]:
    return [one - 2 * two + three for one, two, three in zip(values, values[1:], values[2:], strict=False)]


def test_no_row_of_the_densities_leaves_the_curve() -> None:
    """Rows without a figure of their own in a second source lie smoothly between those that have one."""
    assert max(map(abs, second_differences([density(wt) for wt in range(0, 41, 2)]))) < 0.00035
    assert density(1) == pytest.approx((density(0) + density(2)) / 2, abs=0.0001)
    for temperature, bend in ((10, 0.0003), (40, 0.0012)):
        shifts = [density(wt, temperature) - density(wt) for wt in (0, 10, 20, 30)]
        assert max(map(abs, second_differences(shifts))) < bend


@pytest.mark.parametrize("temperature_c", [0, 20, 60])
def test_no_row_of_the_vapour_leaves_the_curve(temperature_c: float) -> None:
    logs = [math.log10(headspace_ppm(wt, temperature_c)) for wt in range(2, 37, 2)]
    bends = second_differences(logs)
    assert bends[:2] == pytest.approx([-0.249, -0.11], abs=0.04)  # the weakest fall off ever faster
    assert max(map(abs, bends[2:])) < 0.04


def test_warm_baths_fume_more() -> None:
    assert headspace_ppm(5.34, 20) < 5 < headspace_ppm(5.34, 40) < headspace_ppm(5.34, 60)


def test_a_mol_of_gas_at_20_c() -> None:
    """R·T/p with the gas constant of the SI (8.314462618 J/mol/K, exact since 2019) at 101.325 kPa."""
    assert pytest.approx(8.314462618 * 293.15 / 101.325, rel=0.0005) == MOLAR_VOLUME_20C


def test_ceilings_of_weak_acids() -> None:
    """Per litre, against the collected facts: 41.7 g of lime for vinegar of 5 %, 78.1 g for citric of 10 %.

    And from the other end: atomic weights (IUPAC 2021, abridged) for the molar masses, one mol of lime for
    every two protons.
    """
    citric, vinegar = weak_acids()
    assert (citric.dissolves_g(1000), vinegar.dissolves_g(1000)) == pytest.approx((78.1, 41.7), rel=0.002)
    carbon, hydrogen, oxygen = 12.011, 1.008, 15.999
    assert citric.g_per_mol == pytest.approx(6 * carbon + 8 * hydrogen + 7 * oxygen, rel=1e-4)
    assert vinegar.g_per_mol == pytest.approx(2 * carbon + 4 * hydrogen + 2 * oxygen, rel=1e-4)
    assert (citric.takes, vinegar.takes) == (3, 1)
    assert "white crust" in citric.leaves


def test_glass_and_the_line_leave_less_liquid() -> None:
    plan = bath_plan(20_000, 0.8, 1300, 15, 85, 31.45)
    assert plan.liquid_ml == pytest.approx(20_000 * 0.8 - 1300)
    assert plan.acid_ml == pytest.approx(plan.liquid_ml * 0.15)
    assert plan.headroom_ml == pytest.approx(4000)


GOOD = {
    "vessel_ml": 20_000,
    "fill": 0.8,
    "glass_displaced_ml": 1300,
    "acid_parts": 15,
    "water_parts": 85,
    "strength_wt_pct": 31.45,
    "temperature_c": 15,
}


@pytest.mark.parametrize(
    ("field", "value"),
    [
        (name, value)
        for name in ("vessel_ml", "fill", "acid_parts", "water_parts", "strength_wt_pct")
        for value in (0, -1, math.nan, math.inf, 1e12)
    ]
    + [("glass_displaced_ml", v) for v in (-1, math.nan, 16_000, 16_001)]
    + [("temperature_c", v) for v in (-5, 60, math.nan)]
    + [("fill", 1.2), ("strength_wt_pct", 60), ("strength_wt_pct", 38.1)],
)
def test_an_impossible_quantity_is_refused_by_name(field: str, value: float) -> None:
    with pytest.raises(BadQuantity) as refused:
        bath_plan(**{**GOOD, field: value})
    assert refused.value.field == field
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize("grams", [-1, math.nan, math.inf])
def test_growth_dissolved_is_a_real_amount(grams: float) -> None:
    with pytest.raises(BadQuantity):
        Acid(4000, 6).after(grams)
