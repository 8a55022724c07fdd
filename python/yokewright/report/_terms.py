"""What the words of a report mean."""

from html import escape

_TERMS = (
    (
        "Independent linearity",
        "How far the curve strays, at most, from the straight line that fits it best, in percent of the span "
        "from its lowest to its highest value (IEC 61298-2). Offset and slope of the line are free, so this "
        "is what remains after a calibration that can set both.",
    ),
    (
        "Terminal-based linearity",
        "The same, from the straight line through the readings at both ends of the throw (IEC 61298-2): what "
        "remains if only the two ends are calibrated.",
    ),
    (
        "Zero-based linearity",
        "The same, from the best straight line that starts at the reading of the lower end (IEC 61298-2): "
        "what remains if the lower end is fixed and only the slope can be set.",
    ),
    (
        "Clipped",
        "The share of the throw in which the sensor's output or the converter stands at its limit, so that "
        "moving the control changes nothing.",
    ),
    (
        "Monotonic range",
        "The stretch around center in which more angle always means more (or always less) flux density. "
        "Beyond it two positions of the control give the same reading.",
    ),
    (
        "Step by quantization, step by noise",
        "How far the control must turn until the reading changes by one code, and how far the noise of the "
        "reading (one standard deviation) makes it seem to turn: at center, and where the curve is flattest.",
    ),
    (
        "Error budget",
        "How far the position that a calibrated reading tells may be from the control's, by cause. Root sum square: "
        "the standard deviations of all causes together; twice that covers about 95 % if no cause rules. Worst case: "
        "the greatest of all causes added up.",
    ),
    (
        "Crosstalk",
        "How much the reading of one axis of a stick changes while it is held and the other axis goes over its whole "
        "travel, where in the gate that is worst.",
    ),
    (
        "Effective bits",
        "The number of bits of an ideal converter that has as much noise from rounding alone as this axis "
        "has from all its sources together, over the range that the throw uses (after IEEE Std 1241).",
    ),
    (
        "Clearance",
        "The smallest distance from the magnet to the center of the sensor's package face over the throw.",
    ),
    (
        "Breakout, centering error",
        "The force at the grip that sets the control in motion from its rest, friction included; and how far off the "
        "center friction may hold it when it is let go, in degrees and in counts of its sensor.",
    ),
    (
        "Safety at rest, in fatigue",
        "What a spring may bear over what it bears where it is loaded most: below 1 it stays deformed. In fatigue: by "
        "what factor all stresses could grow until it breaks within its cycles over the whole travel.",
    ),
    (
        "Left to a lock",
        "How far the control could turn beyond its throw until a rod of the linkage points at a pivot and it neither "
        "goes on nor surely comes back.",
    ),
    (
        "Met, close, missed",
        "Met: the figure is on the right side of the target. Close: it is on the wrong side, but by no more "
        "than a tenth of what was wanted. Missed: it is farther off, or it has no value.",
    ),
)


def terms() -> str:
    entries = "".join(f"<dt>{escape(term)}</dt><dd>{escape(text)}</dd>" for term, text in _TERMS)
    heading = "<h2 id='terms'>What the words mean</h2>"
    return f"<section aria-labelledby='terms'>{heading}<dl class='terms'>{entries}</dl></section>"
