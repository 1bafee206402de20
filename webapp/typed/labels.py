"""What is written in a label's QR code: the machine's own name, and the casting's permanent id."""

from __future__ import annotations

import re

SCAN = "/scan"
_LONGEST = 300
_ID = r"[0-9a-f]{32}"
_TEXT = re.compile(rf"https?://[^\s/?#]+{SCAN}\?q=({_ID})|({_ID})", re.IGNORECASE)


def label_text(named: str, permanent_id: str) -> str:
    """The text of a casting's label: an address that opens its sheet, by a name and no number of the network.

    >>> label_text("http://shed.local:8730", "0f" * 16)
    'http://shed.local:8730/scan?q=0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f'
    """
    return f"{named}{SCAN}?q={permanent_id}"


def id_on_label(text: str) -> str:
    """The permanent id that a scanned text names, on whatever machine the label was printed; empty where it is no label's.

    >>> id_on_label(" http://other.local:9000/scan?q=0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f "), id_on_label("W3")
    ('0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f', '')
    """
    if len(text) > _LONGEST:
        return ""
    found = _TEXT.fullmatch(text.strip())
    return "" if found is None else (found[1] or found[2]).lower()
