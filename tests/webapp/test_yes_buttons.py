"""Whatever says yes to a question names its act in one pattern: "Tick it all the same"."""

from __future__ import annotations

import re

from webapp.render import TEMPLATES

# A box or a button that says yes: what it sends, and its words, templates and all.
_BOX = re.compile(r'name="(?:sure|confirmed)"[^>]*?>\s*(?:<span>)?(.*?)</(?:span|button|label)>', re.DOTALL)
_WORDS = re.compile(r'words="([^"]*)"(?:\s*~[^)]*?"([^"]*)")?')
# Each of these asks on a page or in a box of its own, where what is done is named in full.
_IN_FULL = {"Delete it for good", "End that one and start this batch"}


def test_each_yes_names_its_act() -> None:
    said = []
    for file in sorted(TEMPLATES.rglob("*.html")):
        text = file.read_text()
        said += [" ".join(re.sub(r"{[%{#].*?[%}#]}", "", words).split()) for words in _BOX.findall(text)]
        for call in re.findall(r"trouble_box\(([^()]*)\)", text):
            said += ["".join(parts) for parts in _WORDS.findall(call) if parts[0]]
    assert len(said) > 6
    odd = [one for one in said if one and "all the same" not in one and one not in _IN_FULL]
    assert odd == []
    assert not any(one.startswith(("Yes", "I ", "Do it")) for one in said)
