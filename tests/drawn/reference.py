"""Areas, extents and cut lines of the pieces in pieces.svg, for main.rs.

Needs svgpathtools and shapely:  python3 reference.py > reference.csv   (in this folder)
Nothing of the library is used: svgpathtools reads the paths and their transforms and samples the curves, shapely
grows them by the turn-under with mitred corners.
"""

import numpy as np
from shapely.geometry import Polygon
from svgpathtools import Document

TURN_UNDER_MM = 5.0
STEPS = 4000

print("id,area,left,top,right,bottom,cut area")
for path in Document("pieces.svg").paths():
    points = []
    for segment in path:
        count = 1 if type(segment).__name__ == "Line" else STEPS
        points += [segment.point(t) for t in np.linspace(0, 1, count, endpoint=False)]
    piece = Polygon([(p.real, p.imag) for p in points])
    assert piece.is_valid
    # 2.5: corners down to 47 degrees keep their point.
    cut = piece.buffer(TURN_UNDER_MM, join_style="mitre", mitre_limit=2.5)
    box = ",".join(f"{x:.4f}" for x in piece.bounds)
    print(f"{path.element.get('id')},{piece.area:.3f},{box},{cut.area:.3f}")
