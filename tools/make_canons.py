#!/usr/bin/env python3
"""Makes data/canons/*.canon.json. Run from anywhere; the output is the same every time.

Proportions are drawing conventions, not statements about real bodies.

Every canon is built from a few levels, in head heights (chin to crown = 1), and divided into bones
between joint centres. Sources, named in each file:

[DC] Drillis & Contini 1966, Body Segment Parameters, technical report 1166.03, New York University, as
     reproduced in Winter, Biomechanics and Motor Control of Human Movement (2009), Fig. 4.1: joint
     heights and lengths as fractions of stature.
[A]  artistsnetwork.com, article on body proportions: the average figure of seven and a half heads.
[B]  joshuanava.biz, drawing course pages: the idealised figure of eight heads.
[C]  US Navy illustrator manual NAVEDTRA 14262, page 3-34: children by age.
[D]  susanpolansky.com, the figure of seven and a half heads.
[ANSUR] Gordon et al. 2014, ANSUR II, NATICK/TR-15/007: measured ratios.
"memory": common practice that we have not seen in a stored source.
"""
import csv
import json
import math
import pathlib

ROOT = pathlib.Path(__file__).resolve().parent.parent
OUT = ROOT / "data" / "canons"
PEOPLE = ROOT / "tests" / "data" / "body" / "ansur2_sample200.csv"

# [DC], fractions of stature. The levels below the pit of the neck close at 0.818.
DC = dict(head=0.130, chin=0.870, shoulder=0.818, hip=0.530, knee=0.285, ankle=0.039, crotch=0.485,
          upper_arm=0.186, forearm=0.146, hand=0.108, foot=0.152, half_shoulder=0.129, hip_breadth=0.191)
DC_TRUNK = DC["shoulder"] - DC["hip"]
DC_THIGH = DC["hip"] - DC["knee"]
DC_SHIN = DC["knee"] - DC["ankle"]
DC_NECK_UP = DC["chin"] - DC["shoulder"]

# The upright chin stands in front of the pit of the neck: share of chin-to-pit that is height. memory;
# the same number as StandingHeads() in src/canon uses.
NECK_UP_SHARE = 0.756
# The ankle joint stands over a quarter of the foot's length: share that is in front of it. memory.
FOOT_IN_FRONT = 0.756
# [ANSUR] trochanterion minus crotch height: 0.0313 (men), 0.0388 (women) of stature; [A] has 4 - 3.75
# heads. Our hip joint lies this much of the standing height above the crotch.
HIP_ABOVE_CROTCH = 0.033

# Spreads, relative sd: how near a figure drawn to the canon is expected to keep. Our judgement, editable.
# People differ more than that: [ANSUR] sd/mean 3.2 % upper arm, 4 % forearm, 3.8 % hand, 3.4 % foot.
# The neck's is mostly pose. The widths of drawing canons are wider because teachers give outer widths and
# artists put the shoulder and hip marks by feel.
SPREADS = {
    "average": dict(head=.02, neck=.16, trunk=.025, shoulder_width=.035, hip_width=.03, upper_arm=.02,
                    forearm=.02, hand=.04, thigh=.02, shin=.02, foot=.05),
    "adult": dict(head=.02, neck=.16, trunk=.03, shoulder_width=.06, hip_width=.08, upper_arm=.025,
                  forearm=.025, hand=.05, thigh=.025, shin=.025, foot=.05),
    "child": dict(head=.025, neck=.16, trunk=.04, shoulder_width=.07, hip_width=.09, upper_arm=.04,
                  forearm=.04, hand=.05, thigh=.035, shin=.035, foot=.05),
    "stylised": dict(head=.03, neck=.20, trunk=.05, shoulder_width=.10, hip_width=.10, upper_arm=.05,
                     forearm=.05, hand=.08, thigh=.05, shin=.05, foot=.08),
}

BONES = ["head", "neck", "trunk", "shoulder_width", "hip_width", "upper_arm", "forearm", "hand", "thigh", "shin",
         "foot"]


def ankle_to_toe(foot_length, sole):
    return math.hypot(FOOT_IN_FRONT * foot_length, sole)


def write(name, title, source, lengths, sole, kind, parts=None):
    assert list(lengths) == BONES
    heads = (lengths["head"] + NECK_UP_SHARE * lengths["neck"] + lengths["trunk"] + lengths["thigh"] +
             lengths["shin"] + sole)
    # Four digits are finer than any source; the head count is what the rounded lengths add up to.
    lines = ["{",
             '  "format": "armslength-canon",',
             '  "version": 1,',
             f'  "name": {json.dumps(name)},',
             f'  "title": {json.dumps(title)},',
             f'  "source": {json.dumps(source)},',
             f'  "heads": {round(heads, 3):g},',
             '  "unit": "head",',
             f'  "sole_to_ankle": {round(sole, 4):g},',
             '  "bones": {']
    spreads = SPREADS[kind] if isinstance(kind, str) else kind
    rows = [f'    "{bone}": {{"length": {round(lengths[bone], 4):g}, "spread": {spreads[bone]:g}}}' for bone in BONES]
    lines += [",\n".join(rows), "  }" + ("," if parts else "")]
    if parts:
        lines.append(f'  "part_spreads": {json.dumps(parts)}')
    lines.append("}")
    (OUT / f"{name}.canon.json").write_text("\n".join(lines) + "\n", encoding="utf-8")


def measured_spreads():
    """Spreads of measured people [ANSUR], relative sd of bone over stature within a sex. Trunk and legs vary
    against each other (a long-legged person has a short trunk): what whole limbs vary by together makes the
    spread of limb over trunk come out as measured. Two sides held equal share their bones' spread, so a pair
    varies by 1/sqrt(2) of it. The head's spread stands with the parts: the head box knows only those."""
    rows = list(csv.reader(line for line in PEOPLE.open(encoding="utf-8") if not line.startswith("#")))
    people = [(row[0], dict(zip(rows[0][1:], map(float, row[1:])))) for row in rows[1:]]
    bones = {
        "head": lambda mm: mm["mentonsellionlength"] + mm["tragiontopofhead"],
        "neck": lambda mm: mm["cervicaleheight"] - mm["suprasternaleheight"],
        "trunk": lambda mm: mm["suprasternaleheight"] - mm["trochanterionheight"],
        "shoulder_width": lambda mm: mm["biacromialbreadth"], "hip_width": lambda mm: mm["bicristalbreadth"],
        "upper_arm": lambda mm: mm["acromionradialelength"], "forearm": lambda mm: mm["radialestylionlength"],
        "hand": lambda mm: mm["handlength"], "thigh": lambda mm: mm["trochanterionheight"] - mm["kneeheightmidpatella"],
        "shin": lambda mm: mm["kneeheightmidpatella"] - mm["lateralmalleolusheight"], "foot": lambda mm: mm["footlength"]}
    log = {}
    for bone, length in bones.items():
        log[bone] = [math.log(length(mm) / mm["stature"]) for _, mm in people]
        for sex in {sex for sex, _ in people}:
            own = [i for i, (s, _) in enumerate(people) if s == sex]
            mean = sum(log[bone][i] for i in own) / len(own)
            for i in own:
                log[bone][i] -= mean
    variance = lambda values: sum(v * v for v in values) / len(values)
    spreads = {bone: max(SPREADS["average"][bone], round(math.sqrt(variance(log[bone])), 4)) for bone in BONES}
    parts = {"head": round(math.sqrt(variance(log["head"]) - SPREADS["average"]["head"] ** 2), 4)}
    spreads["head"] = SPREADS["average"]["head"]
    for part, own in (("arms", ["upper_arm", "forearm"]), ("legs", ["thigh", "shin"])):
        against = [sum(log[bone][i] for bone in own) / len(own) - log["trunk"][i] for i in range(len(people))]
        alone = sum(0.5 * spreads[bone] ** 2 for bone in own) / len(own) ** 2 + spreads["trunk"] ** 2
        parts[part] = round(math.sqrt(max(0.0, variance(against) - alone)), 4)
    return spreads, parts


def average(measured=False):
    """[DC] as it stands, in head heights: stature / head = 1 / 0.130 = 7.69."""
    unit = DC["head"]
    lengths = dict(head=1.0, neck=DC_NECK_UP / NECK_UP_SHARE / unit, trunk=DC_TRUNK / unit,
                   shoulder_width=2 * DC["half_shoulder"] / unit, hip_width=DC["hip_breadth"] / unit,
                   upper_arm=DC["upper_arm"] / unit, forearm=DC["forearm"] / unit, hand=DC["hand"] / unit,
                   thigh=DC_THIGH / unit, shin=DC_SHIN / unit, foot=ankle_to_toe(DC["foot"], DC["ankle"]) / unit)
    if measured:
        spreads, parts = measured_spreads()
        write("people-measured", "Measured adults: the average's lengths, real people's spreads",
              "Lengths as in adult-average (Drillis & Contini 1966, in Winter 2009, Fig. 4.1). Spreads of 200 people of "
              "ANSUR II (Gordon et al. 2014, NATICK/TR-15/007) about the mean of their sex, stature taken out, the "
              "nearest landmarks standing for joint centres. For figures after real people; a convention for drawing, "
              "not a statement about real bodies.",
              lengths, DC["ankle"] / unit, spreads, parts)
        return
    write("adult-average", "Average adult after a body segment table, 7.69 heads",
          "Drillis & Contini 1966, technical report 1166.03, New York University, as reproduced in Winter 2009, "
          "Fig. 4.1: joint heights and lengths as fractions of stature, head height 0.130. The hip width is the "
          "table's hip breadth, wider than between the hip joints. The share of the neck that is height and the "
          "ankle's place over the foot are from memory. A convention for drawing, not a statement about real bodies.",
          lengths, DC["ankle"] / unit, "average")


def shoulder_joints(below_neck):
    """[D] overall width 2 heads at 7.5 heads; the joints lie half an upper arm, 0.19 head, further in
    (memory): 1.62. [ANSUR] biacromial breadth 0.237 of stature (men) is 1.78 heads, and lies between."""
    return 1.62 * below_neck / 6.1


def hip_joints(below_neck):
    """Overall width 1.33 to 1.67 heads, middle 1.5 (memory); artists put the hip marks about 0.23 head
    further in (judgement on public-domain figures): 1.04 at 7.5 heads."""
    return 1.04 * below_neck / 6.1


def from_levels(heads, neck_up, hip, wrist, hand, foot_length):
    """Bones of an upright figure; hip and wrist are heights over the floor. Thigh, shin and ankle divide the
    leg, upper arm and forearm the arm, as in [DC]."""
    below_neck = heads - 1 - neck_up
    sole = hip * DC["ankle"] / DC["hip"]
    arm = below_neck - wrist
    share = DC["upper_arm"] / (DC["upper_arm"] + DC["forearm"])
    lengths = dict(head=1.0, neck=neck_up / NECK_UP_SHARE, trunk=below_neck - hip,
                   shoulder_width=shoulder_joints(below_neck), hip_width=hip_joints(below_neck),
                   upper_arm=arm * share, forearm=arm * (1 - share), hand=hand,
                   thigh=hip * DC_THIGH / DC["hip"], shin=hip * DC_SHIN / DC["hip"],
                   foot=ankle_to_toe(foot_length, sole))
    return lengths, sole


def adults():
    """Head, chin-to-pit (0.4 head, [DC] 0.052 / 0.130) and hand keep their size in heads; what lies below
    the pit of the neck is divided as in [DC]. Checks: hip joints 3.95 heads over the floor at 7.5 heads
    ([A] trochanter 4), crotch at half height ([A], [B], [D]), knee 5.70 from the crown at 8 heads ([B]
    5.5 to 6), elbow at 2.90 ([B] 3)."""
    words = {6: "six heads", 6.5: "six and a half heads", 7: "seven heads", 7.5: "seven and a half heads",
             8: "eight heads", 8.5: "eight and a half heads"}
    seen = {7.5: "average figure of the artistsnetwork.com article on body proportions and of susanpolansky.com",
            8: "idealised figure of the joshuanava.biz drawing course",
            8.5: "heroic figure, from memory"}
    for heads, word in words.items():
        neck_up = DC_NECK_UP / DC["head"]
        below = heads - 1 - neck_up
        scale = below / DC["shoulder"]
        # [A] three quarters of a head, [DC] 0.83: between the two.
        lengths, sole = from_levels(heads, neck_up, DC["hip"] * scale,
                                    below - (DC["upper_arm"] + DC["forearm"]) * scale, 0.78 if heads >= 7 else
                                    0.78 * below / 5.6, DC["foot"] * scale)
        write(f"adult-{heads:g}", f"Adult, {word}",
              f"Drawing convention ({seen.get(heads, 'between the published head counts, ours')}); the body below "
              "the pit of the neck is divided after Drillis & Contini 1966 (as in Winter 2009, Fig. 4.1), hands "
              "0.78 head, shoulder joints 0.19 head inside the outer width. Widths and spreads are our judgement. "
              "Not a statement about real bodies.",
              lengths, sole, "adult")


def children():
    """Head counts by age: [C] where stored, else memory. The crotch's height follows the sitting height's
    share of stature in growth references (memory: 0.63, 0.575, 0.555, 0.54, 0.52 at 1, 3, 5, 8, 12 years);
    the neck shortens with the head count; the wrist hangs at the crotch, as it does in [DC] (both 0.485).
    Hand and foot go from 0.56 and 0.70 head (one year) to the adult's (memory)."""
    rows = [(1, 4.5, 0.37, "C"), (3, 5.0, 0.425, "memory"), (5, 5.5, 0.445, "memory"), (8, 6.25, 0.46, "C"),
            (12, 7.0, 0.48, "C")]
    for age, heads, crotch, seen in rows:
        neck_up = 0.40 - 0.05 * (7.5 - heads)
        lengths, sole = from_levels(heads, neck_up, (crotch + HIP_ABOVE_CROTCH) * heads, crotch * heads,
                                    0.56 + 0.0733 * (heads - 4.5), 0.70 + 0.143 * (heads - 4.5))
        counted = ("US Navy illustrator manual NAVEDTRA 14262, page 3-34" if seen == "C" else "from memory")
        write(f"child-{age}y", f"Child of {age} year{'s' if age > 1 else ''}, {heads:g} heads",
              f"Drawing convention. Head count: {counted}. Leg share after sitting heights in growth references, "
              "hands and feet: from memory; divisions of arm and leg after Drillis & Contini 1966. Children differ "
              "a great deal; not a statement about real bodies.",
              lengths, sole, "child")


def stylised():
    """Common practice, no source: at three heads the legs are a good third, with more heads they approach
    the half; short neck, small hands and feet that grow with the head count; wrist at the crotch."""
    for heads, crotch in [(3, 0.36), (3.5, 0.39), (4, 0.42), (4.5, 0.44), (5, 0.46)]:
        neck_up = 0.14 + 0.05 * (heads - 3)
        lengths, sole = from_levels(heads, neck_up, (crotch + HIP_ABOVE_CROTCH) * heads, crotch * heads,
                                    0.45 + 0.085 * (heads - 3), 0.60 + 0.15 * (heads - 3))
        write(f"stylised-{heads:g}", f"Stylised, {heads:g} heads",
              "Common practice, no source; our own construction from levels, with arm and leg divided after "
              "Drillis & Contini 1966. A starting point to edit or to learn from your own figures.",
              lengths, sole, "stylised")


if __name__ == "__main__":
    OUT.mkdir(parents=True, exist_ok=True)
    average()
    average(measured=True)
    adults()
    children()
    stylised()
