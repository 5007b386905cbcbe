"""Published weighings and loadings (check values WB-01 to WB-26) as requests; weights and arms in the page's units."""

PHAK = "FAA-H-8083-25"
WBH = "FAA-H-8083-1"


def empty(weight, arm, **more):
    return {"empty": {"weight": weight, "arm": arm}, **more}


def change(kind, weight, **arms):
    return {"kind": kind, "name": f"{kind} {weight} {next(iter(arms.values()))}", "weight": weight, **arms}


def scales(*readings):
    return {
        "scales": [
            {"name": f"scale {i}", "weight": weight, "arm": arm, **({"tare": tare[0]} if tare else {})}
            for i, (weight, arm, *tare) in enumerate(readings)
        ]
    }


FIG_9_5 = ("2100lb@78.3in", "340lb@85in", "350lb@121in", "75US gal*6lb/US gal@75in", "80lb@150in")
FORWARD_CHECK = ("1169lb@10.6in", "oil:17lb@-49in", "pilot:170lb@16in", "fuel:83lb@22in")
FULL = ("1169lb@10.6in", "17lb@-49in", "170lb@16in", "170lb@16in", "340lb@48in", "39US gal*6lb/US gal@22in")
NOSEWHEEL = {
    "from the mains": scales(("340 lb", "-78 in"), ("833 lb", "0 in"), ("833 lb", "0 in")),
    "datum ahead": scales(("340 lb", "50 in"), ("833 lb", "128 in"), ("833 lb", "128 in")),
    "datum aft": scales(("340 lb", "-153 in"), ("833 lb", "-75 in"), ("833 lb", "-75 in")),
}
# The row names only the answer: the tailwheel aeroplane of the same chapter has 67 lb on the tail, 222 in behind the
# mains, of 1218 lb in all (from memory; 67 x 222 / 1218 is the row's 12.2).
TAILWHEEL = scales(("575.5 lb", "-80 in"), ("575.5 lb", "-80 in"), ("67 lb", "142 in"))
FIG_4_20 = scales(("650 lb", "70 in", "5 lb"), ("640 lb", "70 in", "5 lb"), ("225 lb", "-30 in", "2.5 lb")) | {
    "changes": [
        change("remove", "177 lb", arm="95 in"),  # 30 gal at 5.9 lb/gal
        change("add", "6 lb", arm="98 in"),
    ]
}
ITEM_LIST = empty(
    "2100 lb",
    "32.5 in",
    changes=[
        change("remove", "36 lb", arm="73 in"),
        change("add", "17 lb", arm="77 in"),
        change("add", "25 lb", arm="74.5 in"),
        change("add", "35 lb", arm="95 in"),
    ],
)

# id, request (a GET's loads and fields, or a POST's body), field, expected, tolerance, source, seen or memory
CASES = [
    ("WB-01", (FIG_9_5, {"maximum_weight": "3400lb", "forward": "78in", "aft": "86in"}), "weight", 3320, 0,
     f"{PHAK} ch. 9 fig. 9-5", "seen"),
    ("WB-01", (FIG_9_5, {"maximum_weight": "3400lb", "forward": "78in", "aft": "86in"}), "moment", 281_430, 5,
     f"{PHAK} ch. 9 fig. 9-5", "seen (arms from memory)"),
    ("WB-01", (FIG_9_5, {"maximum_weight": "3400lb", "forward": "78in", "aft": "86in"}), "cg_arm", 84.8, 0.05,
     f"{PHAK} ch. 9 fig. 9-5", "seen"),
    ("WB-01", (FIG_9_5, {"maximum_weight": "3400lb", "forward": "78in", "aft": "86in"}), "in_limits", True, 0,
     f"{PHAK} ch. 9 fig. 9-5", "seen"),
    ("WB-02", (("2799lb@81.4in",), {}), "moment", 227_800, 140,
     f"{PHAK} ch. 9 table method, the CG put in: 0.05 in of it is 140 lb in", "seen"),
    ("WB-03", empty("8000 lb", "77 in", changes=[change("move", "100 lb", from_arm="30 in", to_arm="150 in")]),
     "moment", 628_000, 0, f"{PHAK} weight shifting", "seen"),
    ("WB-03", empty("8000 lb", "77 in", changes=[change("move", "100 lb", from_arm="30 in", to_arm="150 in")]),
     "cg_arm", 78.5, 0.05, f"{PHAK} weight shifting", "seen"),
    ("WB-04", empty("7800 lb", "81.5 in", changes=[change("move", "65 lb", from_arm="150 in", to_arm="30 in")]),
     "cg_arm", 80.5, 0.0016, f"{PHAK} weight-shift formula, the answer put in: 0.1 lb is 0.0015 in", "seen"),
    ("WB-05", (("6860lb@80in", "140lb@150in"), {}), "cg_arm", 81.4, 0.05, f"{PHAK} weight addition", "memory"),
    ("WB-06", empty("6100 lb", "78 in", changes=[change("remove", "100 lb", arm="150 in")]), "cg_arm", 76.8, 0.05,
     f"{PHAK} weight removal", "memory"),
    ("WB-07", empty("2450 lb", "93 in", changes=[change("remove", "120 lb", arm="48 in")]), "cg_arm", 95.32, 0.01,
     "pilot-training article, recomputed: it prints 'forward 2.31', both wrong", "derived"),
    ("WB-08", (("2222kg@6.13m", "136kg@8.73m"), {}), "cg_arm", 6.28 / 0.0254, 0.0006 / 0.0254,
     "ATPL question bank, the answer put in: 0.01 m of ballast arm is 0.0006 m", "seen"),
    ("WB-09", NOSEWHEEL["from the mains"], "cg_arm", -13.2, 0.05, "FAA-H-8083-1B electronic-calculator example",
     "seen"),
    ("WB-10", NOSEWHEEL["datum ahead"], "cg_arm", 114.8, 0.05, f"{WBH} ch. 3", "memory"),
    ("WB-11", NOSEWHEEL["datum aft"], "cg_arm", -88.2, 0.05, f"{WBH} ch. 3", "memory"),
    ("WB-13", TAILWHEEL, "cg_arm", -67.8, 0.05, f"{WBH} ch. 3", "memory"),
    ("WB-14", FIG_4_20, "weight", 1331.5, 0, "FAA-H-8083-30 ch. 4 fig. 4-20", "memory"),
    ("WB-14", FIG_4_20, "moment", 66_698, 66.6, "FAA-H-8083-30 ch. 4 fig. 4-20: 0.05 in is 66.6 lb in", "memory"),
    ("WB-14", FIG_4_20, "cg_arm", 50.1, 0.05, "FAA-H-8083-30 ch. 4 fig. 4-20", "memory"),
    ("WB-15", scales(("475 lb", "55 in"), ("1046 lb", "121 in"), ("1040 lb", "121 in")), "cg_arm", 108.8, 0.05,
     "ATPL question bank", "memory"),
    ("WB-16", (("1000lb@161in",), {"chord": "62in", "leading_edge_arm": "144in"}), "cg_chord_fraction", 0.274, 0.0005,
     f"{WBH} CG in percent of mean chord", "memory"),
    ("WB-17", (FORWARD_CHECK, {"forward": "8.5in", "maximum_weight": "2100lb"}), "weight", 1439, 0.05,
     "FAA AC 43.13-1B ch. 10 fig. 10-10", "seen"),
    ("WB-17", (FORWARD_CHECK, {"forward": "8.5in", "maximum_weight": "2100lb"}), "moment", 16_104, 0.5,
     "FAA AC 43.13-1B ch. 10 fig. 10-10", "seen"),
    ("WB-17", (FORWARD_CHECK, {"forward": "8.5in", "maximum_weight": "2100lb"}), "cg_arm", 11.2, 0.05,
     "FAA AC 43.13-1B ch. 10 fig. 10-10", "seen"),
    ("WB-17", (FORWARD_CHECK, {"forward": "8.5in", "maximum_weight": "2100lb"}), "in_limits", True, 0,
     "FAA AC 43.13-1B ch. 10 fig. 10-10: satisfactory", "seen"),
    ("WB-20", (FULL, {}), "weight", 2100, 0.05, "FAA AC 43.13-1B ch. 10 fig. 10-13", "seen"),
    ("WB-20", (FULL, {}), "moment", 38_466, 0.5, "FAA AC 43.13-1B ch. 10 fig. 10-13", "seen"),
    ("WB-20", (FULL, {}), "cg_arm", 18.3, 0.05,
     "FAA AC 43.13-1B ch. 10 fig. 10-13, whose 18.6 is a misprint", "derived"),
    ("WB-22", (("1876lb@32.2in", "ballast:7.7lb@228in"), {"forward": "33.0in"}), "weight", 1883.7, 0.05,
     f"{WBH} permanent ballast, the answer put in", "memory"),
    ("WB-22", (("1876lb@32.2in", "ballast:7.7lb@228in"), {"forward": "33.0in"}), "cg_arm", 33.0, 0.05,
     f"{WBH} permanent ballast, the answer put in", "memory"),
    ("WB-24", ITEM_LIST, "weight", 2141, 0, "FAA mechanic knowledge-test question", "seen"),
    ("WB-24", ITEM_LIST, "cg_arm", 33.68, 0.005, "FAA mechanic knowledge-test question", "memory"),
    *(
        ("WB-26", ((f"1US gal*{pounds}lb/US gal@1in",), {}), "weight", pounds, 0,
         "FAA-H-8083-30 ch. 4; AC 43.13-1B", "seen")
        for pounds in (6.0, 6.7, 7.5, 8.35, 6.14, 6.01)
    ),
    *(
        ("WB-26", ((f"1000L*{pounds}lb/US gal@1in",), {}), "weight", kilograms * 1000 / 0.45359237, 0.5 / 0.45359237,
         "FAA-H-8083-30 ch. 4; AC 43.13-1B: the same in kg/L, 0.0005", "seen")
        for pounds, kilograms in ((6.0, 0.719), (6.7, 0.803), (7.5, 0.899), (8.35, 1.0006))
    ),
]  # fmt: skip
