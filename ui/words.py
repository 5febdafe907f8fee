"""Every label of the app in one place. Facts about colours come worded from the service."""

from matcher.service.records import Choice

NAME = "Givens"
SIGN_IN = "Sign in"
SIGN_IN_FIRST = "Sign in to see your rooms"
SIGN_OUT = "Sign out"
TO_ROOMS = "Rooms"
WHO = "Name"
PASSPHRASE = "Passphrase"

ROOMS = "Rooms"
PROMISE = "Paints that live with what stays in the room."
PROMISE_MORE = (
    "Givens measures the worktop, floor and tile from phone photos, and shows which paints suit them, on the client's "
    "own walls."
)
HOW_IT_GOES = (
    ("photograph", "Photograph", "The client lays grey, white and black cards on what stays, and sends photos."),
    ("mark", "Mark", "You outline the cards and what stays. Colours appear, with how sure they are."),
    ("choose", "Choose and share", "Compare a shortlist, see it on the wall, send one link for a yes or no."),
)
TRY_SAMPLE = "Try it on the sample room"
HOW_HIDE = "Hide this"
HOW_SHOW = "How it goes"
ROOM_SEARCH = "Search rooms"
WHOSE = "Rooms shown"
WHOSE_TURN = {"all": "All {count}", "mine": "For me to do {count}", "client": "With the client {count}"}
NEW_ROOM = "New room"
NEW_ROOM_NAME = "Name of the room"
NEW_ROOM_EXAMPLE = "such as Alder Row sitting room"
NEW_ROOM_HELP = "The client reads the name too, above their photos and your scheme."
NEW_ROOM_BEGIN = "Begin"
NEW_ROOM_NAMELESS = "The room has no name yet. Write one, by which you and the client will know it."
NOT_NOW_THANKS = "Cancel"
NO_ROOMS = "No rooms yet"
NO_ROOMS_WHY = "Begin one and send the client the private link, or bring one in from a file."
NO_ROOMS_FOUND = "No room is called “{like}”. Look for part of its name, or clear the search."
NO_ROOMS_TURN = {"mine": "Nothing is left for you to do.", "client": "Nothing waits for a client.", "all": ""}
ROOMS_SHOWN = "{first:,} to {last:,} of {count:,}"
ROOMS_LATER, ROOMS_EARLIER = "Newer rooms", "Older rooms"
IMPORT = "Import a room"
IMPORT_CHOOSE = "Choose a room's file"
IMPORT_HELP = "A zip that was downloaded here or made by hand: room.toml and its photos."
GUARD = "Only this machine can open Givens: nobody has to sign in yet."
GUARD_HOW = "To let others in, each with a passphrase, stop the app and run"
SAMPLE_ROOM = "Sample room, invented"
NO_PICTURE = "No photos yet"
NEWS = "New from the client"
# What a room's card says: matcher/service/room_list.py. What is counted is worded by ui/room_card.py.
STANDING = {
    "answered": "The client's answer: {answer}",
    "shared": "Shared {when}, no answer yet",
    "asked": "Asked of the client, not here yet: {text}",
    "linked": "Link made {when}, nothing in yet",
}
# The button of a card: matcher/service/steps.py.
NEXT_THING = {
    "answer": "See the answer",
    "look": "Look at the photos",
    "brief": "Write the brief",
    "photos": "Add photos",
    "mark": "Mark the photos",
    "mark photo": "Mark the next photo",
    "choose": "Choose the {role}",
    "outline": "Outline the {role}",
    "share": "Share the scheme",
    "see scheme": "See the scheme",
}
NEXT_STEP = "Next: {step}"
REMOVE_ROOM = "Remove this room"
REMOVE_ROOM_SURE = "Remove the room, its photos and its links for good"

STEPS = {
    "brief": "Brief",
    "photos": "Photos",
    "mark": "Mark",
    "shortlist": "Shortlist",
    "wall": "On the wall",
    "scheme": "Scheme",
}
STEP_STATES = {"done": "done", "under way": "under way", "to do": "to do"}

BRIEF_TITLE = "Brief"
BRIEF_ROOM = "The room"
BRIEF_WISHES = "Wishes"
ROOM_NAME = "Name"
ROOM_KIND = "Kind of room"
FACING = "Main window faces"
FACING_UNKNOWN = "not known"
LATITUDE = "Latitude, degrees (south negative)"
LAMPS = "Lamps"
LAMPS_UNKNOWN = "not known"
WARMTH = "Warm or cool"
WARMTH_WORDS = {"either": "No preference", "warm": "Warm", "cool": "Cool"}
ROLES_TO_PAINT = "What may be painted"
LRV_RANGE = "LRV of the walls"
LRV_ANY = "Any LRV for the walls"
SAVE = "Save"
SAVED = "Saved."
SAVES_ITSELF = "Saves itself as you go"
SAVED_AT = "Saved {at:%H:%M}"
NOT_SAVED = "Not saved"
FROM_CLIENT = "What the client wrote"
LINK_TITLE = "Private link for the client"
LINK_INTRO = (
    "Through this link the client sends photos and a short brief, and later reads what you share. "
    "Whoever has the link can do the same, so send it to the client alone."
)
LINK_MAKE = "Make a link"
LINK_ONCE = "Copy it now: it is not kept here and cannot be shown again."
LINK_REVOKE = "Revoke"
LINK_STATE = "made {created:%d %b}, until {expires:%d %b}"
LINK_USED = "last used {used:%d %b %H:%M}"
LINK_REVOKED = "revoked"
LINK_EXPIRED = "expired"

PHOTOS_TITLE = "Photos"
PHOTOS_INTRO = (
    "One picture of the whole room, then each surface close up with a grey card, better white, grey and black, "
    "lying flat on it."
)
PHOTOS_ADD = "Add photos"
NO_PHOTOS = "No photos yet. Add some here, or send the client the private link."
WHOLE_ROOM = "The whole room"
WHOLE_ROOM_USE = "Use as the whole room"
WHOLE_ROOM_DROP = "Not the whole room"
WHOLE_ROOM_WHY = "It stands for the room in the list, and is the one repainted on the wall."
PHOTO_GOOD = "Good to measure from"
PHOTO_ELSE = "Everything else is fine"
REMOVE = "Remove"
REMOVE_SURE = "Remove this photo?"
REMOVE_MARKS = "Remove this photo? What is outlined in it goes too: {count} outlines."
REMOVE_MARK = "Remove this photo? What is outlined in it goes too: 1 outline."
REMOVE_YES, REMOVE_NO = "Yes, remove it", "Keep it"
BY_CLIENT = "from the client"

MARK_TITLE = "Mark"
MARK_NO_PHOTOS = "There is no photo to mark yet."
PHOTO = "Photo"
TAKE_CARD = "Use the cards found"
CARDS_FOUND = "{count} found in this photo. Check that each sits inside its card; drag its corners if not."
COLOURS = "Colours found so far"
NO_COLOURS = "Outline the grey card and one surface, and its colours appear here."
BESIDE_CHIP = "Left the {surface}, right {code} {name}"
DOUBTS = "What the photos cannot tell yet"
INSTRUMENT = "Read with an instrument"
INSTRUMENT_ADD = "Enter a reading"
INSTRUMENT_INTRO = (
    "Type or paste what a colorimeter or spectrophotometer shows of one surface, or choose its file. Several lines are "
    "several spots of that surface."
)
INSTRUMENT_SURFACE = "Surface"
INSTRUMENT_OTHER = "another surface"
INSTRUMENT_NAME = "Name of the surface"
INSTRUMENT_MATERIAL = "Material"
INSTRUMENT_VALUES = "Values"
INSTRUMENT_EXAMPLE = "L* 55.2 a* 14.1 b* 27.9 (D65/2°)"
INSTRUMENT_FILE = "Choose a file"
INSTRUMENT_FILE_KINDS = "A file may be CGATS, CxF3, or text. It is read when you ask what it says."
INSTRUMENT_FILE_CHOSEN = "File: {name}"
INSTRUMENT_FILE_DROP = "Remove the file"
INSTRUMENT_LIGHT = "Light the values are for"
INSTRUMENT_OBSERVER = "Observer"
INSTRUMENT_AS_WRITTEN = "as written"
INSTRUMENT_READ = "Show what it says"
INSTRUMENT_ONE_OF_TWO = "Give values or a file, one of the two."
INSTRUMENT_FOUND = "L* {0:.1f}, a* {1:.1f}, b* {2:.1f} (D65/2°)"
INSTRUMENT_LRV = "LRV {lrv:.0f}"
INSTRUMENT_COUNT = "the mean of {count} readings"
INSTRUMENT_OFF = "the colour may be off by {off}"
INSTRUMENT_DOUBT = "One sigma of the reading: dE00\u00a0{sd:.1f}"
INSTRUMENT_KEEP = "Keep it for the {surface}"
INSTRUMENT_DISCARD = "Discard"
INSTRUMENT_REMOVE = "Remove the reading of the {surface}"
CONFLICT = "Someone else has saved this room in the meantime. Nothing of theirs was overwritten."
CONFLICT_THEIRS = "Continue with theirs"
CONFLICT_MINE = "Keep my marks on this photo instead"

ADVICE_OTHERS = "What else would help"
ASK_FOR = "By photo: {action}."
ASK = "Ask for this photo"
ASK_WITHDRAW = "Withdraw"
# By state: matcher/service/next_photo.py.
ASKED = {
    "open": "The client has been asked, at the private link: {action}.",
    "come": "The photo you asked for has arrived: {photos}. Mark its cards and the surface, and it will be counted in.",
    "used": "The photo you asked for is marked and counted in: {photos}.",
}

SHORTLIST_NOTHING = "Mark a grey card and at least one surface first; then the deck can be ranked."
UNREAD = "These stay in the room too, but nothing here was chosen with them in view."
ROLE = "For"
FILTERS = "Filter the deck"
FILTER_LRV = "LRV"
FILTER_FAMILY = "Leaning"
FILTER_WARMTH = "Warm or cool"
COMPARE = "Compare"
COMPARE_TITLE = "Side by side"
COMPARE_MOST = "Up to four can be compared."
PIN = "Use this"
UNPIN = "In use"
HOW_SCORED = "How it scored"
WHERE_TITLE = "Where they stand"
LEAN_PLOT = (
    "Squares are what stays, by number; discs are paints, by letter. The farther from the middle, the stronger the "
    "lean. Inside the dashed line a light colour reads as plain grey."
)
LIGHT_PLOT = "How light each is, from black (0) to white (100)."
IN_NUMBERS = "In numbers"

WALL_NOTHING = "Outline what is to be painted, on the page Mark, in the picture of the whole room."
WALL_ROLE = "Paint the"
WALL_PAINT = "with"
WALL_BEFORE, WALL_AFTER = "Before", "After"
WALL_SLIDER = "How much of the new paint shows"
WALL_GUESS = "Show a guess all the same"
WALL_GUESSED = "After, a guess"
WALL_NOTE = "The picture keeps the photo's own light and look. Try a large sample board before deciding."

SCHEME_NOTHING = "There is no scheme yet: mark a card and a surface first."
SCHEME_CHECKED = "Checked together"
SCHEME_CONTRAST = "For people with low vision"
SCHEME_CONTRAST_NOTE = "These rules disagree; local codes decide which applies."
SCHEME_OTHER = "Other directions"
HOLDS, LOOK_AGAIN, MEETS, MISSES = "Holds", "Look again", "Meets it", "Misses it"
REMARK = "Note to the client"
SHARE = "Share with the client"
SHARE_AGAIN = "Share it again"
SHARED = "The client can now see this at the private link."
ANSWERS = "What the client answered"
CHOICE_WORDS: dict[Choice, str] = {"like": "I like it", "not sure": "I am not sure", "no": "No"}
DOWNLOAD = "Download"
REPORT = "Report (one file, opens in any browser)"
ARCHIVE = "The room with its photos (zip)"

CLIENT_GONE = "This link does not open anything"
CLIENT_GONE_WHY = "It may have expired, or your consultant has withdrawn it. Ask them for a new one."
CLIENT_TITLE = "Photos for your colour consultant"
CLIENT_STEPS = (
    ("whole", "The whole room", "Stand in a corner and take in as much as you can, with the card somewhere in the "
     "picture."),
    ("near", "Each surface close up", "Lay the grey card flat on the worktop, then on the floor, then on the tile: one "
     "photo each. White, grey and black side by side are better still."),
    ("light", "The room's usual light", "No flash and no filter. One kind of light: daylight with the lamps off, or "
     "the lamps with the curtains drawn."),
)  # fmt: skip
CLIENT_ASKED = "One more photo would help"
CLIENT_ASKED_WHY = "Of all photos it is the one that would help your consultant most now."
CLIENT_ASKED_COME = "Thank you: the photo your consultant asked for has arrived."
CLIENT_ASKED_SAID = {
    "one": "Drawing: a grey card lying flat on the {surface}, a phone held above it",
    "three": "Drawing: a white, a grey and a black card side by side on the {surface}, a phone held above them",
}
CLIENT_SEND = "Your photos"
CLIENT_CHOOSE = "Choose photos"
CLIENT_PRIVATE = "Only your consultant sees them. Where they were taken is not passed on."
CLIENT_NEED = "What we need to know"
CLIENT_STAYS = "What stays as it is (worktop, floor, tile, a sofa)"
CLIENT_DISLIKES = "Colours you do not want to see"
# By key of the brief (matcher/room/brief.py), as the consultant reads it.
BRIEF_KEYS = {
    "kind": ROOM_KIND,
    "facing": FACING,
    "lamps_k": LAMPS,
    "stays": "Stays as it is",
    "may_be_painted": ROLES_TO_PAINT,
    "warmth": WARMTH,
    "dislikes": "Colours not wanted",
}
CLIENT_BRIEF_SAVED = "Thank you, that is saved."
CLIENT_FINE = "This one is fine"
CLIENT_BETTER = "Please retake this one"
CLIENT_SHARED = "What your consultant suggests"
CLIENT_ANSWER = "What do you think?"
CLIENT_NOTE = "Anything you want to add"
CLIENT_SEND_ANSWER = "Send my answer"
CLIENT_ANSWERED = "Your answer is with your consultant."
CLIENT_NOT_YET = "Your consultant has not shared anything yet. It will appear here."
NOTHING_HERE = "There is nothing here."
NOT_NOW = "This cannot be saved at the moment, through no fault of yours. Try again later, or tell your consultant."
TOO_MANY_AT_ONCE = "several files are being sent already. Wait for one of them, then send this again"
SENDING_STOPPED = "was cut off before it had all arrived. Send it again where the connection is better"
CHOOSING = {
    "drop": "or drop them here",
    "drop_one": "or drop it here",
    "waiting": "waiting",
    "looking": "being checked",
    "arrived": "arrived",
    "refused": "not accepted",
    "lost": "{name} did not arrive: the connection was lost. Send it again.",
    "large": "{name} is larger than {most} MB, the most that is accepted. A photo is best sent as the phone saved it.",
}
