"""Which of the workshop's drilling jigs fit the wheels of a pattern."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.answer import Answer
from domain.cranks.jigs import JigFit, judge_jig
from domain.cranks.words import fit_words
from webapp.records.views import BuildView
from webapp.records.workshop import JigView


@dataclass(frozen=True, slots=True)
class JigOf:
    """A jig of the workshop as a pattern of wheel finds it."""

    view: JigView
    fit: JigFit
    words: str


def bores_of(build: BuildView) -> tuple[int, ...]:
    """The bores of a pattern with cranks that a jig's plug is to enter, as measured and as drawn, nm."""
    if build.pattern is None or not build.pattern.cranked:
        return ()
    return (*_measured(build), build.nm("bore"))


def _measured(build: BuildView) -> tuple[int, ...]:
    there = (one.bore for one in build.castings if one.state != "scrapped")
    return tuple(bore.mean_nm for bore in there if bore is not None and not bore.by_plug)


def jig_of(build: BuildView, view: JigView) -> JigOf:
    """What a jig is worth for the pattern that the build is seen by, which has cranks."""
    measured = _measured(build)
    fit = judge_jig(
        view.jig,
        build.nm("throw"),
        build.nm("crankpin_hole"),
        measured or [build.nm("bore")],
        measured=bool(measured),
    )
    return JigOf(view, fit, fit_words(fit, build.unit))


def jigs_of(build: BuildView, views: Iterable[JigView]) -> tuple[JigOf, ...]:
    """The jigs in use, the one that fits best first."""
    found = [jig_of(build, one) for one in views if not one.retired]
    return tuple(sorted(found, key=lambda one: tuple(Answer).index(one.fit.answer)))
