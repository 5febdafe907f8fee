"""The sentences themselves, by kind. Filled in by matcher/report/wording.py; nothing else may word a fact.

``{given}`` is the surface with its part ("the worktop's veining"), ``{surface}`` the surface or role alone; other
fields are the values of the fact. Neither is the subject of a verb: floors lean where tiles do.
"""

from __future__ import annotations

# In front of the lean of a colour whose tint alone would hardly be noticed.
HINT, FAINTLY = "hint of ", "faintly "
# In place of a lean that the photo cannot support.
UNCERTAIN_LEAN = "too uncertain to name"

# Kinds: the table in matcher/ranking/reasons.py. The numbers behind a sentence stand in ``facts``.
REASONS = {
    "undertone-agrees": "leans {faintly}{paint_lean} like {given}",
    "undertone-agrees, another word": "its {paint_tint} goes with the {surface_lean} of {given}",
    "undertone-agrees, unsure": "its {paint_tint} seems to go with {given}, whose own lean is " + UNCERTAIN_LEAN,
    "undertone-opposes": "its {paint_tint} fights the {surface_lean} of {given}",
    "undertone-opposes, unsure": "its {paint_tint} may fight {given}, whose own lean is " + UNCERTAIN_LEAN,
    "quiet-partner": "its {paint_tint} calms the {surface_lean} of {given}",
    "quiet-partner, unsure": "its {paint_tint} may calm {given}, whose own lean is " + UNCERTAIN_LEAN,
    "near-miss-white": "nearly the white of {given} but not it: it will look like a failed match",
    "cleaner-than-given": "so clean a colour makes {given} look dull",
    "rivals-given": "rivals {given}: two strong colours of one hue that are not the same",
    "deliberate-contrast": "a clear contrast to {surface} that reads as meant",
    "given-accepts": "its {paint_lean} has nothing to fight in {surface}, near neutral",
    "neutral-paint": "its tint is too faint to notice, so nothing in it fights",
    "lighter-than-given": "{lightness} {surface}",
    "darker-than-given": "{lightness} {surface}",
    "merges-with-given": "nearly as light as {surface} but not the same colour: they will blur together",
    "harmony-above-grey": "in harmony with what stays, more than a plain grey would be",
    "harmony-below-grey": "less in harmony with what stays than a plain grey would be",
    "unfit-for-role": "an unusual colour for {role}",
    "warms-north-light": "warm enough for {away_side} light",
    "cold-in-north-light": "may look cold in {away_side} light",
    "dull-in-north-light": "may look dull in {away_side} light",
    "hot-in-sun": "may look hot in a sunny room",
    "glare-in-sun": "may glare in a sunny room",
    "yellow-under-lamp": "turns yellower under the room's lamps",
    "cold-under-lamp": "may look cold under the room's lamps",
    "changes-with-light": "noticeably another colour at some hours of this room's day or by its lamps",
    "wish-warmth-met": "{wish}, as wished",
    "wish-warmth-missed": "not {wish}, as was wished",
    "wish-lrv-met": "as light as was wished",
    "wish-lrv-missed": "not as light or dark as was wished",
    "neighbour-fits": "sits well with the paint chosen for {surface}",
    "neighbour-fights": "fights the paint chosen for {surface}",
    "lets-given-stay": "the old paint of the {role} fought {given}, which can stay beside this one",
    "stands-for": "very close alternatives: {codes}",
}
# The same in a line of a tile, where reasons are compared at a glance: what the paint is, what it does to a surface.
# Kinds that are not here are short enough as they are.
SHORT_REASONS = {
    "undertone-agrees": "{paint_tint}, like {surface}",
    "undertone-agrees, another word": "{paint_tint}, suits {surface}",
    "undertone-agrees, unsure": "{paint_tint}, seems to suit {surface}",
    "undertone-opposes": "{paint_tint}, fights {surface}",
    "undertone-opposes, unsure": "{paint_tint}, may fight {surface}",
    "quiet-partner": "{paint_tint}, calms {surface}",
    "quiet-partner, unsure": "{paint_tint}, may calm {surface}",
    "near-miss-white": "nearly the white of {surface}, but not it",
    "cleaner-than-given": "so clean that {surface} looks dull",
    "rivals-given": "rivals {surface}",
    "deliberate-contrast": "a clear contrast to {surface}",
    "given-accepts": "{paint_tint}, nothing to fight in {surface}",
    "neutral-paint": "tint too faint to fight anything",
    "merges-with-given": "blurs together with {surface}",
    "harmony-above-grey": "in harmony with what stays",
    "harmony-below-grey": "less in harmony than a plain grey",
    "neighbour-fits": "sits well with the paint of {surface}",
    "neighbour-fights": "fights the paint of {surface}",
    "lets-given-stay": "lets {surface} stay, which the old paint fought",
}
# How far two colours lie apart, by dE00 up to which each is used. Assumptions: about 1 can just be seen, 5 reads as
# meant from across a room.
COLOUR_STEPS = (
    (1.0, "less than the eye sees"),
    (3.0, "a step that can just be seen"),
    (8.0, "a clear step"),
    (1000.0, "a large step"),
)
# How much lighter or darker, by LRV points up to which each is used: thirds of a strip, a strip, and beyond.
LIGHTNESS_STEPS = (
    (3.0, "as light as", "as dark as"),
    (8.0, "a step lighter than", "a step darker than"),
    (25.0, "clearly lighter than", "clearly darker than"),
    (100.0, "far lighter than", "far darker than"),
)
# What has to be read before a list.
NOTES = {
    "nothing-sits": "Nothing in this deck sits with everything: {surfaces} pull apart. Those that bridge them best are "
    "listed first.",
    "nothing-sits, one": "Nothing in this deck sits with {surfaces}. Those that come nearest are listed first.",
}
FOR_DIRECTION = "added so that you see another direction"

# By kind and, for the colour clashes, by cause: matcher/ranking/clashes.py.
CLASHES = {
    "warm-cool undertone": "{paint_side} beside the {surface_lean} of {given}, which is {surface_side}",
    "warm-cool undertone, unsure": "one is warm and the other cool as measured, but the lean of {given} is "
    + UNCERTAIN_LEAN,
    "undertone undertone, unsure": "the undertones may fight: that of {given} is " + UNCERTAIN_LEAN,
    "undertone undertone": "its undertone fights the {surface_lean} of {given}",
    "undertone near-miss white": "two whites that nearly match: beside {given} one of them will look dirty",
    "undertone cleanness": "this paint and {given} are strong colours of one hue: one makes the other look dull",
    "lightness": "hardly {lighter_or_darker} than {surface} and not the same colour: they will blur together",
}

# Rules: the table in matcher/scheme/checks.py. ``{first}`` and ``{second}`` are the two roles.
# What a reader is told, where it holds and where it does not.
CHECKS = {
    "trim-lighter-than-walls": (
        "the {first} is {lightness} the {second}",
        "the {first} is {lightness} the {second}, where a clear step lighter was asked for",
    ),
    "ceiling-lighter-than-walls": (
        "the {first} is {lightness} the {second}",
        "the {first} is {lightness} the {second}, where no darker was asked for",
    ),
    "undertones-kin": (
        "the undertones of {first} and {second} {agree}",
        "the undertones of {first} and {second} fight",
    ),
    "step-reads-as-meant": (
        "the step from {second} to {first} reads as meant, or as one paint",
        "the step from {second} to {first} is too small to read as meant",
    ),
    "contrast-lrv-points": (
        "by BS 8300-2 and Approved Document M, {first} and {second} stand out from each other",
        "by BS 8300-2 and Approved Document M, {first} and {second} stand out too little",
    ),
    "contrast-percent": (
        "by US advisory text, {first} and {second} stand out from each other",
        "by US advisory text, {first} and {second} stand out too little",
    ),
    "contrast-bowman-sapolinski": (
        "by AS 1428.1, {first} and {second} stand out from each other",
        "by AS 1428.1, {first} and {second} stand out too little",
    ),
    "contrast-michelson": (
        "by DIN 32975, {first} and {second} stand out from each other",
        "by DIN 32975, {first} and {second} stand out too little",
    ),
    "through-undertones-kin": (
        "the undertones of the {first} here and in {room} {agree}",
        "the undertones of the {first} here and in {room} fight",
    ),
    "through-step-as-meant": (
        "the step from the {first} here to those in {room} reads as meant, or as one paint",
        "the step from the {first} here to those in {room} is too small to read as meant",
    ),
    "through-one-trim": (
        "one paint runs through as {first}, here and in {room}",
        "the {first} here is not that in {room}",
    ),
}
# The numbers behind it, for a fold. ``{step}`` is taken of the two LRVs as they are printed here.
CHECK_NUMBERS = {
    "trim-lighter-than-walls": "{lrvs}{step} (asked for: at least 10 points lighter, or the same paint)",
    "ceiling-lighter-than-walls": "{lrvs}{step} (asked for: no darker than the walls)",
    "undertones-kin": "agreement {value:+.2f} ({fight_from:.2f} or less is a fight)",
    "step-reads-as-meant": "dE00 {value:.1f} (reads as meant from 5 up, as one paint below 1)",
    "contrast-lrv-points": "BS 8300-2 and Approved Document M: {lrvs}{apart:.1f} points apart (asked for: 30)",
    "contrast-percent": "US advisory text: {value:.1f} % (asked for: 70 %, the lighter at LRV 45 or more)",
    "contrast-bowman-sapolinski": "AS 1428.1, Bowman-Sapolinski: {value:.1f} % (asked for: 30 %)",
    "contrast-michelson": "DIN 32975, Michelson: {value:.2f} (asked for: 0.4, the lighter at LRV 50 or more)",
    "through-undertones-kin": "agreement {value:+.2f} ({fight_from:.2f} or less is a fight)",
    "through-step-as-meant": "dE00 {value:.1f} (reads as meant from 5 up, as one paint below 1)",
    "through-one-trim": "dE00 {value:.1f} (one paint below 1)",
}
CHECK_LRVS = "LRV {first_lrv:.1f} and {second_lrv:.1f}, "
# Contrast for people with low vision: matcher/scheme/low_vision.py. A pair in one sentence, the rules by name.
LOW_VISION_RULES = {
    "lrv-points": "BS 8300-2 with Approved Document M",
    "percent": "US advisory text",
    "bowman-sapolinski": "AS 1428.1",
    "michelson": "DIN 32975",
    "lrv-points-projecting": "Approved Document M for what projects",
}
LOW_VISION = {
    "meets": "stand out enough by {rules}",
    "misses": "too little by {rules}",
    "open": "too close to tell from these photos by {rules}",
}
LOW_VISION_NUMBERS = {
    "lrv-points": "{rule}: {value:.1f} points apart (asked for: 30)",
    "percent": "{rule}: {value:.1f} % (asked for: 70 %, the lighter at LRV 45 or more; written for signs)",
    "bowman-sapolinski": "{rule}, Bowman-Sapolinski: {value:.1f} % (asked for: 30 %, of doorways)",
    "michelson": "{rule}, Michelson: {value:.2f} (asked for: 0.4, the lighter at LRV 50 or more)",
    "lrv-points-projecting": "{rule}: {value:.1f} points apart (asked for: 15)",
}
LOW_VISION_LRVS = "{pair}: LRV {first_lrv:.1f} and {second_lrv:.1f}"
LOW_VISION_NOTE = (
    "The published rules disagree, and none is met or missed for good by a number: gloss, wear and poor light are "
    "outside them. Local code and a licensed professional decide which applies; a scheme may miss some and still be "
    "right for its client."
)
# How two undertones get on that do not fight.
AGREE, NEITHER = "go together", "neither go together nor fight"
# Kinds: matcher/scheme/alternatives.py. ``{surface}`` is the role that leads.
TRADES = {
    "trade-lighter": "{surface} {how_much} lighter: {cost}",
    "trade-darker": "{surface} {how_much} darker: {cost}",
    "trade-warmer": "{surface} {how_much} warmer: {cost}",
    "trade-cooler": "{surface} {how_much} cooler: {cost}",
    "trade-quieter": "{surface} {how_much} quieter: {cost}",
    "trade-bolder": "{surface} {how_much} bolder: {cost}",
    "trade-fewer": "{surface} share a paint, so that there is one fewer to buy: {cost}",
}
# What a step of an alternative is called, by size, and what it costs of the score (0..1): assumptions.
TRADE_STEPS = {"lrv_step": (15.0, 30.0), "warmth_step": (0.4, 0.7), "chroma_step": (5.0, 12.0)}
TRADE_SIZES = ("a little", "clearly", "much")
COSTS = (
    (0.005, "suits the room as well"),
    (0.03, "suits the room almost as well"),
    (0.08, "suits the room a little less"),
    (1.0, "suits the room clearly less"),
)
# Checks: matcher/photo/reading.py, matcher/photo/quality.py and matcher/calibration/photo_calibration.py; by level, or
# "any"; where one check sees several things, by level and the name of the finding's first number. ``{amount}`` is that
# number.
FINDINGS: dict[str, dict[str, str]] = {
    "colour profile": {
        "ok": "colours are read as {name} ({source})",
        "note": "colours are read as {name} ({source}): nothing to do if this is the camera's own file",
        "warn": "which colour space the file is in is not known ({source}), so its colours are read as {name}, which "
        "may be wrong: send the camera's own file",
    },
    "camera raw": {
        "any": "camera raw, the best there is: its colours are as the sensor saw them (white balance: {balance})"
    },
    "transparency dropped": {"any": "transparency was ignored"},
    "first frame used": {"any": "the file holds {frames} pictures; the first was used"},
    "16 bits kept": {"any": "{bits:.0f} bits a channel are used as they are"},
    "HDR picture": {
        "any": "stored for a high dynamic range screen ({transfer}): its light was decoded, and what is far brighter "
        "than white was cut off"
    },
    "gain map ignored": {
        "any": "the file also holds a gain map for high dynamic range screens: the base picture was used"
    },
    "screenshot": {
        "any": "this looks like a screenshot ({seen}): a screen's colours are not the camera's, so send the camera's "
        "own file"
    },
    "record of edits": {
        "any": "the file keeps a record of edits made to it: edits change colours; send the camera's own file"
    },
    "written by a program": {
        "any": "the header names a program that seems not to be the camera's own as what wrote this file: if colours "
        "or contrast were changed in it, send the original"
    },
    "saved again": {
        "note, hours": "by the dates in its header the file was changed {hours:.1f} hours after the picture was taken: "
        "if that was an edit of colours or contrast, send the original",
        "note, days": "by the dates in its header the file was changed {days:.0f} days after the picture was taken: if "
        "that was an edit of colours or contrast, send the original",
    },
    "not the camera's size": {
        "note, width": "the header notes a picture of {width:.0f} x {height:.0f} pixels, this file has "
        "{now_width:.0f} x {now_height:.0f}: it was probably made smaller since, so send the original if there is one",
        "note, crop_width": "the header notes a picture of {crop_width:.0f} x {crop_height:.0f} pixels, this file has "
        "{now_width:.0f} x {now_height:.0f}: it was probably cropped since, so send the original if there is one",
    },
    "perhaps a copy": {
        "any": "this may be a smaller copy and not the camera's own file: nothing in it tells of a camera, it is "
        "{side:.0f} pixels long and compressed at quality {quality:.0f} of 100, as messaging apps and programs write "
        "pictures; if there is an original, send that, as a file or by the private link"
    },
    "strong compression": {
        "any": "strongly compressed (quality {quality:.0f} of 100), so fine colour differences are lost: send a file "
        "of better quality if there is one"
    },
    "combed levels": {
        "any": "{gaps:.0f} brightness values are all but missing between well-filled ones, as when contrast or "
        "brightness is changed after the picture was taken: if so, send the original"
    },
    "colours cut off": {
        "any": "on {share:.0%} of the picture a strong colour is cut off at the edge of what the file can hold: do not "
        "outline surfaces there"
    },
    "size": {
        "ok": "large enough: {width:.0f} x {height:.0f} pixels",
        "warn": "small: {width:.0f} x {height:.0f} pixels; send the full-size file, not a copy sent by a messaging app",
        "fail": "too small to measure from: {width:.0f} x {height:.0f} pixels; send the full-size file",
    },
    "exposure": {
        "ok": "well exposed (bright parts at {bright:.0%} of full scale)",
        "note": "much of the picture is dark (its middle tone at {median:.0%} of full scale): outline surfaces where "
        "they are lit, not in shadow",
        "warn": "{verdict}exposed (middle tone at {median:.0%}, bright parts at {bright:.0%} of full scale): correct "
        "the exposure and take it again",
        "fail": "too far {verdict}exposed to measure (middle tone at {median:.0%}, bright parts at {bright:.0%} of "
        "full scale): correct the exposure and take it again",
    },
    "clipping": {
        "ok": "nothing that matters is burnt out ({clipped:.1%} clipped)",
        "note": "{clipped:.1%} of the picture is burnt out: keep outlines off those places",
        "warn": "{clipped:.0%} of the picture is burnt out: keep outlines off those places, or take it again darker",
        "fail": "{clipped:.0%} of the picture is burnt out: take it again darker",
        "warn, black": "{black:.0%} of the picture is pure black: keep outlines off those places, or take it again "
        "with more light",
        "fail, black": "{black:.0%} of the picture is pure black: take it again with more light",
    },
    "sharpness": {
        "ok": "sharp (edges {amount:.1f} pixels wide)",
        "note": "there is no clear edge to judge sharpness by: check that it is sharp",
        "warn": "soft (edges {amount:.1f} pixels wide): hold the camera still or rest it on something",
        "fail": "blurred (edges {amount:.1f} pixels wide): take it again",
    },
    "mixed light": {
        "note": "the light changes colour a little from place to place (by about {amount:.0%}): lay a card on each "
        "surface, or switch lamps off",
        "warn": "lights of different colour meet here (they differ by about {amount:.0%} from place to place): switch "
        "lamps off or shut the daylight out, and take it again",
        # Between cards: the dimmer the place, the warmer the light.
        "note, spread": "the dimmer a card lies the warmer is the light on it (by about {spread:.0%}): colour thrown "
        "back from floors and walls does that, and so does a second light: lay a card on each surface, and switch "
        "lamps off by day",
        # Of one surface, before anything is marked: what makes the light change there is not known.
        "ok, share": "no change of the light's colour is seen across the plain surfaces here; whether a lamp reaches "
        "other places cannot be told from one photo: if lamps were on by day, switch them off and take it again",
        "note, share": "the light changes colour across one plain surface (its blue against its red by {share:.0%}), "
        "by a second light or by colour thrown back from floors and walls: switch lamps off by day, and lay a card on "
        "each surface",
        "warn, share": "the light changes colour much across one plain surface (its blue against its red by "
        "{share:.0%}): if a lamp was on by day, switch it off and take it again; colour thrown back from floors and "
        "walls does it too, so lay a card on each surface",
        "note, places": "whether lights of different colour meet here cannot be told from this photo: if lamps were "
        "on by day, switch them off and take it again",
    },
    "cards": {
        "ok": "{found} to lie in the picture: outline {all}",
        "note": "{seem}; a white, a grey and a black card side by side would also show how the camera renders light "
        "and dark",
        "warn": "no neutral card found: lay a grey card on the surface, better white, grey and black, "
        "or outline it yourself; without one the light can only be guessed, and undertones cannot be told",
    },
    "card is enough": {"any": "a neutral card seems to be in the picture: with camera raw that is enough, outline it"},
    "chart": {
        "ok": "all 24 patches of the chart were read",
        "note": "{patches:.0f} of the chart's 24 patches were read; the others are burnt out, too dark or covered",
    },
    "chart turned": {"any": "the chart lies {way} in the photo and was read so"},
    "chart unevenly lit": {
        "any": "the light on the chart is uneven ({share:.0%} between its patches): lay it where no shadow or "
        "reflection falls on it"
    },
    "cards contradict": {
        "any": "cards of one reflectance side by side differ by {share:.0%} in the photo: one lies in a shadow or does "
        "not reflect what is stated; mark each with its own reflectance, or take one away"
    },
    "card not grey": {
        "any": "the cards here differ in colour by {share:.0%}, so one of them is not grey: use cards made for "
        "photography, or leave that one out"
    },
    "chip left out": {"any": "this chip could not be read and was left out ({why}): {remedy}"},
    "chip contradicts": {
        "any": "this chip does not look like its paint beside the other references, so it was left out: "
        "check that the code is right, the outline lies on the chip alone, and no shadow falls on it"
    },
    "chips contradict": {
        "any": "these chips contradict each other, and nothing tells which is wrong, so the doubt was widened: "
        "check that their codes are right and their outlines lie on the chips alone"
    },
    "nearest chip": {"any": "{compared}"},
    "chip of another edition": {
        "any": "the chip in this photo was measured with the colour of another edition; in the deck that is ranked its "
        "code has another colour, dE00 {de00:.1f} away"
    },
    "card odd": {
        "any": "this card makes the light a colour that nothing else in the picture bears out: check that its "
        "outline lies on the card and that the card is grey"
    },
    "clipped patch": {"any": "{share:.0%} of this card is burnt out, so it was left aside"},
    "tone curve": {"any": "the camera's tone curve was found from {ratios:.0f} pairs of neutral cards"},
    "tone curve none": {"any": "the file is straight from the sensor: there is no tone curve to find"},
    "tone curve borrowed": {"any": "the camera's tone curve is taken from the room's other photos, as one camera's"},
    "tone curve unknown": {"any": "the camera's tone curve is assumed: one grey alone cannot show it"},
    "cards disagree": {
        "any": "the cards lying here disagree by {amount:.0%} on one light: the phone changed brightness place by "
        "place, or a card is not what it is marked as; take the photo again with high dynamic range and "
        "effects off, or in raw"
    },
    "uneven card": {
        "any": "the light changes by {amount:.0%} across a card as no lamp makes it: the phone may have changed "
        "brightness place by place, a shadow's edge may lie on it, or its outline lies on something else"
    },
    "card elsewhere": {
        "any": "said to lie on the {surfaces}, but neither inside nor against the outlines of it in this photo: "
        "{cards}, taken as lying elsewhere; correct the outlines, or say what the cards lie on"
    },
    "largely left out": {
        "any": "{share:.0%} of what is outlined is so much lighter or darker than beside the card, or than its lit "
        "part, that it was left out as standing in another light; where it is another material, outline it as a "
        "surface of its own with a card on it"
    },
    "beyond the file": {
        "any": "one channel of this colour is at 0 in the file, which can hold no stronger colour: how light it is is "
        "known, and it is at least as strong as given; camera raw or a wider colour space would hold more"
    },
    "black patch": {
        "any": "this black card is as black as the file can be, as a contrasty camera makes it, so it was left aside"
    },
    "card on nothing": {
        "any": "said to lie on the {surfaces}, which is not outlined in this photo: {cards}, taken as lying elsewhere"
    },
    "no card": {
        "note": "no neutral card is outlined here, so nothing is measured from this photo",
        "warn": "no neutral card is outlined here, so its surfaces could not be measured from this photo",
    },
    "no usable card": {
        "any": "no card outlined here can be used, so nothing is measured from this photo: correct their details"
    },
    "light guessed": {
        "any": "no neutral card is outlined here, so the light was guessed from the mix of colours in the picture: how "
        "light its surfaces are is only roughly known, and which way a near-neutral leans cannot be told; lay a grey "
        "card on each, or outline a sheet of white paper lying there"
    },
    "light guessed by white": {
        "any": "no neutral card is outlined here, so the light was guessed from the mix of colours in the picture and "
        "from its lightest plain part, which was taken for white: how light its surfaces are is only roughly known, "
        "and which way a near-neutral leans cannot be told; lay a grey card on each, or outline a sheet of white paper "
        "lying there"
    },
    "cast": {
        "note": "the white balance took out a colour cast",
        "warn": "the white balance took out a strong colour cast: some of it may be left in the colours",
    },
    "old paint unmeasured": {
        "any": "the old paint of the {role} was not measured: by cards that lie elsewhere it has an LRV between {low} "
        "and {high}, so the new paint may truly be up to {darker:.0%} darker or {brighter:.0%} brighter than this "
        "guess shows it, nine times in ten, and its tint is guessed with it; lay a grey card on the old paint, "
        "photograph both and outline it as a surface of paint, or type an instrument's reading of it"
    },
    "lighter or darker unknown": {
        "any": "whether this paint is lighter or darker than the old paint of the {role} cannot be told before that is "
        "measured"
    },
    "picture brightness": {
        "any": "nine times in ten the new paint will be no more than {darker:.0%} darker or {brighter:.0%} brighter "
        "than the picture shows it"
    },
    "light elsewhere": {
        "any": "the picture does not show what other walls do to everything else: in rooms rendered before and after, "
        "the light on other surfaces changed by {low:.0%} to {high:.0%}, on ceilings by more"
    },
    "burnt-out paint": {
        "any": "{share:.0%} of the area is burnt out in the photo: its light was made up from what lies around"
    },
    "beyond the picture": {
        "any": "on {share:.0%} of the area the paint comes out brighter or stronger than the picture can show"
    },
}
# What an old paint lacks before it is repainted, and what to do.
# The program measures otherwise than it did when the room was measured before.
MEASURED_AGAIN = "{surface}: measured again by another version of the program, {step} away from what it said before."
MEASURE_OLD_PAINT = (
    "the paint that is there now was not measured, and how light a new one comes out depends on it",
    "Lay a grey card flat on it, photograph both close up and outline it on the page Mark as a surface of paint, or "
    "type an instrument's reading of it",
)
SPREAD_SAID = "The main colour of the {surface} as measured, between the darkest and the lightest it may truly be"
SPREAD_NOTE = (
    "First the colours of each surface by their shares. Below, in the middle, its main colour as measured: nine times "
    "in ten the true one is no farther off than those beside it."
)
# Kinds: matcher/advice/advice.py. What to do next, to a consultant and to a householder, and why.
ACTIONS = {
    "grey card": "Lay a grey card flat on the {surface} and photograph both close up",
    "second photo": "Photograph the {surface} once more with the card flat on it, close up and from another side",
    "three cards": "Lay a white, a grey and a black card side by side on the {surface} and photograph them close up",
    "paint chips": "Lay chips of the deck that come near the {surface} in colour, such as {chips}, beside the grey "
    "card flat on it, and photograph them close up",
    "daylight": "Photograph the {surface} by daylight, lamps off, with the grey card flat on it",
    "chart": "Lay a chart of 24 patches on the {surface} and photograph both close up",
    "instrument": "Read the {surface} with a colour instrument",
    "sample board": "Paint a large sample board and look at it beside what stays",
}
# Why a surface is not known well, by what most of its doubt comes from (causes of matcher/surfaces/surface.py, and what
# can be seen of its cards); what to do follows from ACTIONS.
UNSURE = {
    "no card": "no card lay there",
    "cards not said": "no card is said to lie there",
    "contradiction": "{photos} contradict each other",
    "level": "its light is not quite that on the card",
    "colour": "its light is not quite that on the card",
    "tone curve": "one card does not show the camera's curve",
    "tone curve, three cards": "even three cards leave the camera's curve open",
    "camera and lamp": "cameras see this colour in their own way",
    "sheen": "light is mirrored there",
    "texture": "the colour varies from place to place",
    "other": "several small doubts add up",
}
# What to do about it, shorter than ACTIONS: by the same kinds, or by what is true of it.
UNSURE_DO = {
    "cards not said": "Choose the cards in {photos} and say what they lie on",
    "contradiction": "Check outlines and cards there, or take one photo out",
    "grey card": "Photograph it close up with a grey card flat on it",
    "second photo": "Photograph it once more close up, the card flat on it",
    "three cards": "Lay white, grey and black side by side on it",
    "daylight": "Photograph it by daylight, lamps off",
    "instrument": "An instrument would tell",
}
# Beside the swatch of the chip that a surface comes nearest to.
CHIP_COMPARED = "Both as seen in {photo}"
CHIP_IN_PHOTO = "in {photo} {phrase}"
CHIPS_MOVED = (
    "{photo}: the chip {codes} was measured with the colour of another edition. In the deck that is ranked this code "
    "has another colour, {step} away.",
    "{photo}: the chips {codes} were measured with the colours of another edition. In the deck that is ranked these "
    "codes have other colours, up to {step} away.",
)
CHIPS_AND_MORE = "{count} more"
# The same to a householder, by private link.
# What is wrong with a photo, to the householder who took it; a check that is not named keeps its own sentence. Of these
# the cards alone are no reason to take it again: what was not spotted may be there all the same.
CLIENT_CHECKS = {
    "size": "It is a small copy. Send the photo itself, as your phone saved it.",
    "exposure": "It came out too dark or too bright to tell colours apart. Tap on the card on the screen before you "
    "take it, or wait for calmer light.",
    "clipping": "Parts of it are so bright or so dark that no colour is left in them. Keep the window out of the "
    "picture, and take it once more.",
    "sharpness": "It is a little blurred. Rest your elbows or the phone on something, and take it once more.",
    "mixed light": "Two kinds of light meet in it. By day, switch the lamps off; then take it once more.",
    "cards": "We did not spot the card in it. If it is there, all is well: your consultant will find it.",
}
CLIENT_ACTIONS = {
    "grey card": "Lay the grey card flat on the {surface}, in the middle of it, and take one photo of both from near "
    "by.",
    "second photo": "Lay the grey card flat on another part of the {surface} and take one more photo of both from near "
    "by.",
    "three cards": "Lay the white, the grey and the black card side by side, flat on the {surface}, and take one photo "
    "of them from near by.",
    "daylight": "By daylight, with every lamp off, lay the grey card flat on the {surface} and take one photo of both "
    "from near by.",
}
ACTION_REASON = (
    "its LRV, known to ±{now}, would be known to about ±{after}. There is {chance} chance that this changes the best "
    "choice"
)
ADVICE_STANDS = (
    "The advice stands: nothing that can be measured would change the choice enough to matter. What is left is to look "
    "at a painted sample board"
)
ADVICE_NEXT = "What to measure next"
# Scores are equal, not colours: two of them may be far apart in lightness.
TIED = "Its score is equal, on this evidence, to those of {others}."
TIED_ONE = "Its score is equal, on this evidence, to that of {others}."
FIRST_TIED = "The scores of the first {count} are equal on this evidence: choose among them by eye."
STABLE = "Allowing for measurement error, listed {times} times in 100."
# What the search for a scheme has shown, and what it was free to choose.
BEST_PROVEN = "No other combination of {whole} scores higher."
BEST_FOUND = "It is the best combination of {whole} that was found; nothing proves that there is none better."
BEST_OF, BEST_OF_FILTERED = "this deck", "the paints that pass the filter"
WITH_ROOMS = ", for this room and those seen from it together,"
PINNED = "Already chosen: {roles}. "
PINNED_PROVEN = "For the rest, no other choice from {whole} scores higher."
PINNED_FOUND = (
    "For the rest, this is the best choice from {whole} that was found; nothing proves that there is none better."
)
ALL_PINNED = "All of it was already chosen."
# Why other schemes are few, or none.
ONE_FREE = "Only the {role} can still change: the rest was already chosen."
NO_OTHERS = "No other direction suits the room nearly as well."
ROLES = {
    "walls": "Walls",
    "trim": "Trim",
    "ceiling": "Ceiling",
    "cabinets": "Cabinets",
    "island": "Island",
    "accent": "Accent",
    "door": "Door",
}
ALTERNATIVES = {
    "lighter": "A lighter scheme",
    "darker": "A darker scheme",
    "warmer": "A warmer scheme",
    "cooler": "A cooler scheme",
    "quieter": "A quieter scheme",
    "bolder": "A bolder scheme",
    "fewer": "A scheme of fewer paints",
}
# Paints that go with the walls': matcher/scheme/companions.py. What each is for, what makes it one, and that there is
# none.
COMPANIONS = {
    "lighter": "For rooms with little light",
    "darker": "For an island or a door",
    "partner": "As a quiet partner",
}
COMPANION_FACTS = {
    "companion-lighter": "leans as {surface} do, and is {lightness} they are",
    "companion-darker": "leans as {surface} do, and is {lightness} they are",
    "companion-partner": "lies across from the colour of {surface} and stays quiet beside it",
}
NO_COMPANION = {
    "lighter": "This deck has no lighter paint that leans as the walls do.",
    "darker": "This deck has no darker paint that leans as the walls do and sits with what stays.",
    "partner": "This deck has no quiet colour across from that of the walls that sits with what stays.",
}
# The ladder of trim whites: matcher/scheme/trim_ladder.py. What a step is, and what its white does beside a surface or
# a role; ``, other`` where it is the other of the two that looks amiss, ``, same`` where they are one colour, and
# ``, walls`` of what trim is seen against.
TRIM_STEPS = {
    "stark": "Stark: no tint that shows, the safest",
    "clean": "Clean: a little warmth",
    "creamy": "Creamy: plainly warm",
}
TRIM_VERDICTS = {
    "trim-sits": "sits with {surface}",
    "trim-sits, same": "the same colour as {surface}: only the sheen tells them apart",
    "trim-contrasts": "{lightness} {surface}",
    "trim-contrasts, walls": "{lightness} {surface}, so that it reads as trim",
    "trim-yellows": "looks yellowed beside {surface}",
    "trim-yellows, other": "makes {surface} look yellowed",
    "trim-looks-dirty": "looks dirty beside {surface}",
    "trim-looks-dirty, other": "makes {surface} look dirty",
}
NO_TRIM_STEP = {
    "stark": "This deck has no stark white.",
    "clean": "This deck has no clean white with a little warmth.",
    "creamy": "This deck has no creamy white.",
}
# Wishes that are kept: the table in matcher/scheme/wishes.py. Of what is asked for two roles, by what is asked.
WISHES = {
    "pin": "the paint chosen for the {roles}",
    "avoid": "none of the paints that are not wanted",
    "avoid-family": "no {family} paint",
    "lrv": "the {roles} at an LRV from {low:.0f} to {high:.0f}",
    "contrast": "{roles} at least {least:.0f} and at most {most:.0f} points of LRV apart",
    "contrast, least": "{roles} at least {least:.0f} points of LRV apart",
    "contrast, most": "{roles} at most {most:.0f} points of LRV apart",
    "most-paints": "no more than {most:.0f} different paints",
    "most-paints, one": "a single paint for everything",
    "one-trim": "one paint for all trim",
}
WISH_ELSEWHERE = "{wish} in {room}"
WISH_ALONE = "With this deck one wish cannot be kept, and the scheme was chosen without it: {fight}"
WISHES_FIGHT = (
    "With this deck these wishes cannot all be kept: {fight}. The least that has to give, and what the scheme was "
    "chosen without: {dropped}"
)
CHOICES_FIGHT = "Of what was chosen already, {what}: change one of the two, or look at both on one sample board"
# A brief in a line.
BRIEF_BY = " \u00d7 "
BRIEF_BUILT = "built {year}"
BRIEF_DAY = "light of {day}"
BRIEF_AVOID = "paints not to use: {count}"
BRIEF_MORE = "{count} more"
# A room to choose among others of its name, and one that is not in the store.
ROOM_CHANGED = "{name}, changed {at.day} {at:%B, %H:%M}"
ROOM_GONE = "{name} (not here)"
# A room in view, in a line.
ROOM_THROUGH = "{name} ({through})"
# Two paints side by side.
NO_DIFFERENCE = "no difference that people can see"
OTHER_DIFFERENCE = "they differ in a way that has no plain word"
PAIR_PART = "{name} is {word}"
PAIR_NUMBERS = "dE00 {de00:.1f}, LRV {lrv_a:.0f} and {lrv_b:.0f}"
LOOKALIKES = {
    "nearest": "Nearest",
    "same_lrv_warmer": "Same LRV, warmer",
    "same_lrv_cooler": "Same LRV, cooler",
    "lighter": "A step lighter",
    "darker": "A step darker",
    "greener_darker": "Greener and darker",
    "same_name": "The same name",
}
IN_OTHER_DECK = "{kind}, in {deck}"
# The step to a neighbour: kinds of matcher/description/step.py. How much lighter or darker, by the dE00 of the
# lightness alone up to which each is used; how much of a tint, likewise. Assumptions, as COLOUR_STEPS.
STEP_LIGHTNESS = (
    (3.0, "a shade lighter", "a shade darker"),
    (8.0, "clearly lighter", "clearly darker"),
    (1000.0, "far lighter", "far darker"),
)
STEP_TINT = ((3.0, "a little {word}"), (8.0, "{word}"), (1000.0, "much {word}"))
STEP_WORDS = {"warmer": ("warmer", "cooler"), "greener": ("greener", "pinker"), "stronger": ("stronger", "greyer")}
SAME_UNDERTONE = "the same undertone"
SAME_COLOUR = "as good as the same colour"
STEP_SEEN = {
    "nobody": "nobody would see the difference",
    "few": "hardly anybody would see the difference",
    "side by side": "you would see it only side by side",
    "walls that meet": "you would see it where two walls meet",
    "across the room": "you would see it across the room",
}
# Places of the map round a paint, and what stands at one that the deck leaves empty.
MAP_PLACES = {
    "lighter": "lighter",
    "darker": "darker",
    "warmer": "warmer",
    "cooler": "cooler",
    "greener": "greener",
    "pinker": "pinker",
}
MAP_EMPTY = "{place}: none"
MAP_SAID = "The neighbours of {name}. {places}"
BESIDE_WHAT_STAYS = "Beside what stays"
# What a surface does to the look of a paint, by kind and claim: matcher/description/push.py.
PUSHES = {
    "pushes will": "the {surface} will push it towards {towards}",
    "pushes may": "the {surface} may push it towards {towards}",
    "brings-out will": "the {surface} will bring out the {lean} in it",
    "brings-out may": "the {surface} may bring out the {lean} in it",
    "quietens will": "the {surface} will take some of the {lean} out of it",
    "quietens may": "the {surface} may take some of the {lean} out of it",
}
PUSH_NUMBERS = "a*b* moved by {weak:.1f} to {strong:.1f}, {seen_weak:.1f} to {seen_strong:.1f} times what just shows"
NO_PUSH = "Nothing that stays here is likely to change its look enough to notice."
PUSH_CAUTION = (
    "This is the eye\u2019s own contrast, by a published model whose strength had to be assumed. Light that a floor "
    "throws on a wall works the other way, so look at a large board where the two meet."
)
# Quiet partners: matcher/description/partners.py.
PARTNERS = "Brings out its undertone"
PARTNER = "each brings out the other: the {lean} here, the {partner_lean} there"
# The size of the two shifts, by the larger one at its strongest over what just shows.
PARTNER_SIZES = (
    (0.5, "mostly their difference shows; the eye adds very little"),
    (1.0, "mostly their difference shows; the eye adds a little"),
    (1000.0, "the eye adds enough to notice"),
)
PARTNER_NUMBERS = (
    "this by {weak_it:.2f} to {strong_it:.2f} of what just shows, the partner by {weak_partner:.2f} to "
    "{strong_partner:.2f}"
)
NO_PARTNER = {
    "neutral": "Too neutral to have an undertone that another paint could bring out.",
    "strong": "Too strong a colour to need another paint to bring out its undertone.",
    "none found": "Nothing in this deck brings out its undertone and stays quiet itself.",
}
# The size of a wall. Xiao, Luo, Li, Rhodes & Taylor, CIC11 2003, in a real painted room; CIE 208:2014 has the same as a
# tendency, which real rooms do not always follow. No number is given: those in print are tentative.
AREA_EFFECT = "On four walls it usually looks lighter and stronger than on its sample: judge it on a large board."
AREA_SOURCE = (
    "Xiao, Luo, Li, Rhodes and Taylor, CIC11, 2003 (a painted room); CIE 208:2014 (a tendency: real rooms do not "
    "always follow)"
)

# The room's own light: matcher/report/light_entry.py. What is said of one colour stands under its name.
LIGHT_KINDS = {
    "sky": "light from the sky",
    "sun and sky": "sun on the window",
    "dusk": "dusk",
    "lamps": "lamps on",
}
LIGHT_ASSUMED = {
    "latitude": "The room's latitude is not known, so {latitude:.0f}° was assumed.",
    "facing": "Which way the window looks is not known, so the sky is taken as grey, the same on all sides.",
    "date": "No day was named, so an equinox is shown, {date}: days and nights are equally long.",
    "lamps_k": "The lamps are not known, so warm white ones of {lamps_k:.0f} K were assumed.",
}
LIGHT_LAMPS = {
    "LED": "LED lamp, {kelvin:.0f} K",
    "incandescent": "incandescent lamp, {kelvin:.0f} K",
    "fluorescent": "fluorescent tube, {kelvin:.0f} K",
}
# How well a colour keeps its character, by ``keeps`` from which each is used (assumptions).
LIGHT_KEEPS = (
    (0.93, "beside a white card much the same all day and by the lamps"),
    (0.80, "beside a white card a little different {when}"),
    (0.60, "beside a white card noticeably different {when}"),
    (0.0, "beside a white card like another colour {when}"),
)
# What the eye gets, the light's own tint and all.
LIGHT_SEEN = "to the eye {by_day} by day, {by_lamps} by the lamps, whose own tint lies on everything"
LIGHT_FLIP = "from {before} to {after} {when}"
# Where its name changes and the colour hardly does.
LIGHT_BETWEEN = "it stands between {names}, so its name changes and the colour hardly"
LIGHT_PARTS = "{a} and {b} match by day and part {when}"
LIGHT_DIM = {
    "dim": "Even at its brightest this room has little daylight: colours look about {taken:.0%} weaker in it than in a "
    "good light",
    "polar night": "The sun does not rise on this day: the room is lit by its lamps alone",
    "polar day": "The sun does not set on this day: there is no hour of lamps alone",
}
# Common practice, no source; the difference is that of the deck.
LIGHT_ADVICE = {
    "lighter-companion": "for a room with so little light take the one {points} LRV lighter: {companion} instead of "
    "{colour}, of the same undertone (common practice)",
}
LIGHT_SKY = {"clear": "clear sky", "overcast": "grey sky"}
LIGHT_WINDOW = {
    "": "window not known",
    "N": "window to the north",
    "NE": "window to the north-east",
    "E": "window to the east",
    "SE": "window to the south-east",
    "S": "window to the south",
    "SW": "window to the south-west",
    "W": "window to the west",
    "NW": "window to the north-west",
}
LIGHT_SUMMARY = "{window}, {sky}, {date}; hours are those of the sun"
LIGHT_COLUMN = "{low:.0f} to {high:.0f} K, level {level:.2f}, eye adapted {adaptation:.2f}"
LIGHT_TITLE = "Through the day in this room"
LIGHT_BASIS = (
    "Every light lays its own tint on all colours, the white card too; what is said is what changes beside that card. "
    "Reckoned, not measured: a usual sky, a usual window, and eyes that get used to each light only in part, as "
    "published. Real weather, trees and neighbours differ: look at a painted board at the hours that matter."
)
LIGHT_DRAWN = (
    "Screens cannot show how dim dusk is: dark hours are drawn lighter than they are, so that they stay legible."
)

# What is said of the readings of an instrument, by kind: matcher/instrument/understood.py.
READINGS = {
    "averaged": "{count:.0f} readings, averaged; they spread by {spread_step}",
    "disagree": "the {count:.0f} readings spread by {spread_step}, more than on one even colour, and {where} lies "
    "farthest out: if the surface varies, that is its doubt; if a reading slipped, leave it out or read "
    "again",
    "two disagree": "the two readings differ by {apart_step}, more than on one even colour: if the surface varies, "
    "that is its doubt, and more spots would help; if a reading slipped, read again",
    "letters assumed": "numbers without letters were read as {order}",
    "light assumed": "the light is not stated, so {light} was assumed; were it {other}, the colour would move by "
    "{apart_step}, and half of that is in the doubt: look up the instrument's setting and state it",
    "observer assumed": "the observer is not stated, so {observer:.0f}° was assumed; were it {other:.0f}°, the colour "
    "would move by {apart_step}, and half of that is in the doubt: look up the instrument's setting and state it",
    "converted": "values for {light}/{observer:.0f}° cannot be brought to D65/2° exactly without a spectrum, so the "
    "doubt is widened by {sd_step}",
    "scale assumed": "no value is above {most:.2g}, so a scale of 0 to 1 was assumed",
    "wavelengths assumed": "no wavelengths are stated, so {first:.0f} to {last:.0f} nm by 10 were assumed",
    "lrv disagrees": "{where} gives LRV {said:.0f}, but its colour has {found:.0f}: one of the two is mistyped",
}

# The painter's schedule: matcher/quantities. A painter reads these on a ladder: short, imperative.
WHOLE_ROOM = "Whole room"
SURFACES = {
    "walls": "Walls",
    "trim": "Skirting, frames and other trim",
    "ceiling": "Ceiling",
    "cabinets": "Cabinets",
    "island": "Island",
    "accent": "Accent wall",
    "door": "Door",
}
NO_SIZE = "measure on site"
SHARED_TIN = "with {surface}"
COATS_RANGE = "{likely} ({low} to {high})"
COATS_BEYOND = "{likely} ({low} to {high} or more)"
SHEEN = "{low:.0f} to {high:.0f} gloss units at 60\N{DEGREE SIGN}"
SHEEN_UP_TO = "up to {high:.0f} gloss units at 60\N{DEGREE SIGN}"
SHEEN_CALLED = "{units} ({words})"
SHEEN_BASIS = "What a shop calls a sheen differs from maker to maker: order it by its gloss units."
# Notes on a row, by kind: matcher/report/schedule.py.
SCHEDULE_NOTES = {
    "sheen-differs": "the deck has this colour at {paint:.0f} gloss units: order it in the sheen above",
    "sheen-unknown": "the deck does not say its sheen: name the gloss units when ordering",
    "tinted-primer": "hides slowly: a primer tinted towards it saves coats",
    "ground-assumed": "coats are reckoned over an old paint that nobody measured: try a patch first",
    "accent-in-walls": "counted beside the walls: if it is one of them, the walls take less",
}
LITRES_BASIS = {
    "deck": "{amounts}: area by coats at what the deck states ({rates}), {waste:.0%} to spare in the larger figure.",
    "guidance": "{amounts}: area by coats at what guidance for householders gives ({rates}), {waste:.0%} to spare in "
    "the larger figure.",
}
TIN_FIRST = "An estimate, for the coats named first: the tin\u2019s own figure goes before it."
PRIMER_BASIS = "Primer, for bare and stained places: {amount}."
NOT_PAINTED = "Not to be painted: {names}. Mask all of it."
ORDER_OF_WORK = {
    "test-lead": "Have old paint tested for lead. Wait for the result.",
    "clear-mask": "Clear the room, cover the floor, mask what stays.",
    "wash": "Wash down with sugar soap or the like, rinse, let dry.",
    "fill-sand": "Fill, let dry, rub down, take up the dust.",
    "fill-sand-wet": "Fill, let dry, rub down wet, never dry; wipe up.",
    "prime": "Prime bare and stained places.",
    "paint": "{surface}: {coats}.",
    "unmask": "Unmask while the last coat is soft.",
}
COATS = {None: "as many coats as it takes to hide", 1: "one coat"}
COATS_MANY = "{count} coats"
PREPARATION = {
    "grease": ("Near the hob", "grease. Wash twice, then a stain-blocking primer."),
    "mould": ("Mould", "find out why it is there, treat it, let dry before any paint."),
    "damp": ("Round sinks and windows", "look for damp. Stop and tell us if there is any."),
    "key-gloss": ("Old gloss", "key it wet, not dry."),
    "sealant": ("Sealant", "old out first, new in when the walls are dry."),
    "air": ("Air", "window open while working and until the smell has gone."),
    "keep": ("Keep", "one labelled jar of each paint for the house."),
}

# A new edition of the deck: kinds in matcher/service/edition_room.py.
EDITION_CHANGES = {
    "chosen gone": "the chosen {was} is gone; nearest is {now}, {step}",
    "chosen renamed": "the chosen {was} is the same colour under the code {now}",
    "chosen moved": "the chosen {was} is another colour now, {step}",
    "shared gone": "the client was shown {was}, which is gone; nearest is {now}, {step}",
    "shared renamed": "the client was shown {was}, the same colour under the code {now} now",
    "shared moved": "the client was shown {was}, which is another colour now, {step}",
    "first choice gone": "the first choice {was} is gone; first is {now} now",
    "first choice renamed": "the first choice {was} is the same colour under the code {now}",
    "first choice moved": "the first choice {was} is another colour now, {step}, and still first",
    "better first choice": "{now} comes before {was} now",
    "clash": "{which} {now} {clash} {surface} now",
}
EDITION_WHICH = {"chosen": "the chosen", "shared": "what the client was shown,", "first choice": "the first choice"}
EDITION_CLASHES = {
    "warm-cool": "fights the warmth of",
    "undertone": "fights the undertone of",
    "lightness": "blurs together with",
}
EDITION_SEEN = (
    "nobody would see the difference",
    "a difference seen side by side only",
    "a difference anyone would see",
)
EDITION_SHARED_TOO = "{said}; the client was shown it"
EDITION_LACKS = {
    "collections": "the new edition names no collections, the old one did",
    "exterior": "the new edition does not say what is for outside, the old one did",
    "reflectance": "the new edition has no spectra, the old one had: looks under lamps are inferred from the colour",
    "tins": "the new edition names no tin sizes, the old one did",
    "coverage": "the new edition does not say how far a litre goes, the old one did",
    "sheen": "the new edition does not say how glossy a paint is, the old one did",
}
EDITION_CODES_CHANGED = "most codes are new ones for the same colours: {renamed} of {size} paints were renamed"
