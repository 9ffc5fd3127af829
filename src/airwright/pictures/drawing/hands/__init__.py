"""How the hands do it: small drawings of the movements that every piece is made of.

Line drawings with two greys and one warm red for arrows, so that they print in black and white.
The movements are common practice in the trade, with no source.
"""

from __future__ import annotations

from airwright.pictures.drawing.hands.fixing import LOCK, LOOP, NEST, SLEEVE
from airwright.pictures.drawing.hands.panel import Panel, Technique
from airwright.pictures.drawing.hands.stuffing import STUFF
from airwright.pictures.drawing.hands.topping import TOPPER
from airwright.pictures.drawing.hands.tying import DUPLET, QUAD, SIZE

TECHNIQUES: dict[str, Technique] = {
    technique.name: technique
    for technique in (SIZE, STUFF, DUPLET, QUAD, LOCK, NEST, SLEEVE, LOOP, TOPPER)
}
"""By name, in working order."""

__all__ = ["TECHNIQUES", "Panel", "Technique"]
