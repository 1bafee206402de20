"""The facts of a build as it was read: every sheet, guard and plan asks them here."""

from __future__ import annotations

from functools import cached_property

from webapp.facts.assembly import Assembly, assembly_of
from webapp.facts.axle_gauges import AxleGauges, axle_gauges
from webapp.facts.joints import Joints
from webapp.facts.quartering import Quarterings
from webapp.facts.reaming import Reaming, tools_of
from webapp.facts.resetting import Resetting
from webapp.facts.rods import Rods
from webapp.facts.set_made import SetMade
from webapp.facts.throws import Throws
from webapp.facts.treads import Treads
from webapp.facts.tyres import Tyres
from webapp.records.views import AxleView, BuildView, CastingView


class Facts:
    """What is true of one build, worked out when it is first asked for; each subject has its own part.

    Joints, treads and reaming go by a pattern's own drawing, so they are asked of the build as that pattern sees it.
    """

    def __init__(self, build: BuildView) -> None:
        self.build = build
        # The whole engine is judged once, from whichever pattern of wheel it is asked.
        self._whole = facts_of(build.whole) if build.whole is not build else self
        self._gauges: dict[int, AxleGauges] = {}
        self._assemblies: dict[int, Assembly] = {}

    def of(self, thing: CastingView | AxleView) -> Facts:
        """The facts as the pattern of this wheel or axle sees them."""
        return facts_of(self.build.of(thing))

    @cached_property
    def joints(self) -> Joints:
        """What each wheel makes of its seat."""
        return Joints(self.build)

    @cached_property
    def throws(self) -> Throws:
        """What the throws are worth, each against the drawing and those of each side together."""
        return Throws(self.build) if self._whole is self else self._whole.throws

    @cached_property
    def quartering(self) -> Quarterings:
        """What the heights of each axle's crankpins say."""
        return Quarterings(self.build) if self._whole is self else self._whole.quartering

    @cached_property
    def rods(self) -> Rods:
        """Whether the rods go round."""
        return Rods(self.build, self.quartering) if self._whole is self else self._whole.rods

    @cached_property
    def resetting(self) -> Resetting:
        """Which axle is set again, and by how much."""
        return Resetting(self) if self._whole is self else self._whole.resetting

    @cached_property
    def reaming(self) -> Reaming:
        """Which reamer the bore is to be cut with, and what comes before it."""
        return Reaming(self.build, self.joints.wanted, tools_of(self.build))

    @cached_property
    def treads(self) -> Treads:
        """What each tread and flange is worth, and which wheel is out."""
        return Treads(self.build)

    @cached_property
    def tyres(self) -> Tyres:
        """What each steel tyre makes of its wheel centre."""
        return Tyres(self)

    def gauges(self, axle: AxleView) -> AxleGauges:
        """Whether an axle goes on the track."""
        if axle.id not in self._gauges:
            self._gauges[axle.id] = axle_gauges(self.of(axle).treads, axle)
        return self._gauges[axle.id]

    def assembly(self, axle: AxleView) -> Assembly:
        """What an axle's own sizes are worth."""
        if axle.id not in self._assemblies:
            self._assemblies[axle.id] = assembly_of(self.treads, axle)
        return self._assemblies[axle.id]

    @cached_property
    def made(self) -> SetMade:
        """The set as made, against the drawing."""
        return SetMade(self) if self._whole is self else self._whole.made


def facts_of(build: BuildView) -> Facts:
    """The facts of this build; they are kept with it, so that nothing is worked out twice."""
    found = build.kept.get("facts")
    if not isinstance(found, Facts):
        found = build.kept["facts"] = Facts(build)
    return found
