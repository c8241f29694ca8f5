"""Checks of a case that need more than one record: depths, names, dates, and keys that go together."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from planner.base.errors import Problem
from planner.model import (
    consistency_fluid,
    consistency_money,
    consistency_plan,
    consistency_ranges,
    consistency_rock,
    consistency_sandface,
    consistency_string,
)
from planner.model.case import Case
from planner.model.consistency_parts import Show

Check = Callable[[Case, Show], Iterator[Problem]]

# Each check with the parts of the case that it reads: it is left out while one of them is faulty by itself.
CHECKS: tuple[tuple[frozenset[str], Check], ...] = tuple(
    (frozenset(needs.split()), function)
    for needs, function in (
        ("well", consistency_rock.survey),
        ("well", consistency_rock.hole),
        ("compartments", consistency_rock.contacts),
        ("layers", consistency_rock.layer_depths),
        ("layers", consistency_rock.skins),
        ("well layers", consistency_rock.layers_in_hole),
        ("layers compartments", consistency_rock.layer_compartments),
        ("layers rocks", consistency_rock.layer_rocks),
        ("layers supports", consistency_rock.layer_supports),
        ("layers well", consistency_rock.layer_geometry),
        ("rocks", consistency_rock.end_points),
        ("supports", consistency_rock.support_keys),
        ("well fluid", consistency_fluid.wanted_fluids),
        ("fluid", consistency_fluid.oil),
        ("fluid", consistency_fluid.gas_and_water),
        ("fluid", consistency_fluid.sensible_numbers),
        ("string", consistency_string.element_order),
        ("string", consistency_string.inner_elements),
        ("string", consistency_string.screens),
        ("string well", consistency_string.depth_of_string),
        ("string layers perforations", consistency_sandface.perforated),
        ("what_ifs completions perforations", consistency_sandface.completions),
        ("completions string well", consistency_sandface.completions_in_hole),
        ("string", consistency_sandface.fittings),
        ("string numerics", consistency_sandface.inner_pipes),
        ("layers well", consistency_sandface.composed_skins),
        ("compartments layers rocks string what_ifs zones", consistency_plan.names),
        ("schedule", consistency_plan.schedule),
        ("controls schedule", consistency_plan.control_dates),
        ("controls well", consistency_plan.control_bounds),
        ("controls what_ifs tubing", consistency_plan.tubing),
        ("what_ifs schedule", consistency_plan.event_dates),
        ("what_ifs", consistency_plan.triggers),
        ("what_ifs zones layers supports string", consistency_plan.event_names),
        ("what_ifs", consistency_plan.early_water),
        ("what_ifs", consistency_plan.changes),
        ("economics", consistency_money.prices),
        ("economics", consistency_money.ways),
        ("economics what_ifs", consistency_money.event_ways),
        ("economics", consistency_money.element_kinds),
        ("economics", consistency_money.escalation),
        ("uncertain correlation alternatives failures", consistency_ranges.names),
        (consistency_ranges.ALL_OF_IT, consistency_ranges.ranges),
        (consistency_ranges.ALL_OF_IT, consistency_ranges.choices),
        ("uncertain correlation", consistency_ranges.correlations),
        ("failures what_ifs zones supports string schedule", consistency_ranges.failures),
    )
)


def check(case: Case, sections: set[str] | None = None, length_units: Mapping[str, str] | None = None) -> list[Problem]:
    """Everything in a case that does not fit together; empty for a good case. The `file` of each problem is ''.

    sections: keys of the case that are good by themselves, none: all. length_units: unit that the user wrote depths
    in, by part of the case ('layers', 'string', 'well', 'compartments'); others are shown in the case's unit system.
    """
    good = set(Case.model_fields) if sections is None else sections
    show = Show(dict(length_units or {}), "ft" if getattr(case, "units", "field") == "field" else "m")
    found: list[Problem] = []
    for needs, function in CHECKS:
        if needs <= good:
            found += function(case, show)
    return found
