"""Words that say nothing, where a reason, a reference, a name or what was done is asked."""

import datetime as dt
import re

# The patterns below are compiled when one is first asked: most commands ask none of them.
NOTHING = frozenset(
    (
        *("none", "nothing", "n/a", "na", "n.a", "n/k", "nk", "n/d", "nil", "null", "tbd", "tba", "tbc"),
        *("todo", "to do", "unknown", "not known", "don't know", "dunno", "idk", "later", "pending", "xx", "xxx"),
        *("ditto", "as above", "see above", "same as above", "idem", "no reason", "reason", "because"),
        "not applicable",
    )
)
# Why something is not there can be said in one word.
NOT_THERE = frozenset(("none", "nothing", "nil", "null"))


# What stands where the page of a logbook is asked, before there is one.
LEADS_NOWHERE = frozenset(
    ("ink", "in ink", "not yet", "not signed", "soon", "signed", "yes", "no", "ok", "paper", "page", "p", "log p")
)
# A number to be written in later.
BLANKS = ("__", "?", "...", "\u2026")
# What stands where a correction is asked, before there is one. Common practice, no source.
UNDONE = (
    r"^(?:not (?:yet|done|cleared|corrected|repaired|fixed|replaced|flown|tested)\b|to (?:do|be|follow)\b|will be\b"
    r"|still (?:to|open)\b|on order\b|awaiting\b|waiting\b|pending\b|deferred\b|postponed\b|tomorrow\b"
    r"|next (?:week|month|time|year|annual|inspection)$)"
    r"|\b(?:on order|not yet|to be done|to follow|next (?:week|month|time))$|^(?:\w+ ){1,3}ordered$"
)
# The same where it is asked why something is not on the aircraft: what is to come, or out for repair, is not there.
UNDONE_THERE = (
    r"^(?:not (?:yet|cleared|corrected|repaired|fixed|replaced|flown)\b|to (?:do|be|follow)\b|will be (?!fitted"
    r"|installed)"
    r"|still (?:to|open)\b|on order\b|awaiting\b|waiting\b|pending\b|deferred\b|postponed\b|tomorrow\b)"
    r"|\b(?:not yet|to be done|to follow|next (?:week|month|time))$|^(?:\w+ ){1,3}ordered$"
)
# Besides, of a finding: as a whole, at the beginning, at the end. Common practice, no source.
UNCORRECTED = (
    r"^(?:did not|didn't|rejected|cancel?led|planned|scheduled|waits?|ordered|open|monitor(?:ed)?|no action(?: taken)?"
    r"|left (?:as (?:it )?(?:is|was|found)|alone|open)|x+|same|done|cleared|closed|(?:see )?f\d+"
    r"|no|failed|half|cracks? found)$"
    r"|^(?:(?:did not|didn't|could not|couldn't|cannot|can't|will not|won't) (?:repair|fix|correct|replace|clear|do)"
    r"|(?:planned|scheduled|waits) for|monitor|watch(?! glass)|keep an eye on)\b"
    r"|^(?:ask(?:ed)?|tried|try|same|ferry|grounded|half|\w+ needs?|needs?)\b|^as (?:found|before|it (?:is|was))$"
    r"|^(?:\w+ ){1,2}to (?:look|see|check|do|fix|repair|decide)\b|\b(?:remains?|ferry only|half done)$|\bfail(?:s|ed)$"
    r"|\b(?:leaks?|crack(?:s|ed)?|loose|stuck|back) again$"
    r"|\b(?:not (?:satisfactory|acceptable|good|ok|complete|completed|finished)|unsatisfactory)$"
)
# The first clause says what was done: nothing of it lies ahead, was done in part, or was not done. What follows may say
# how it was found, or what was left as it was, but not that the fault is there. Words and their order are English's.
AHEAD = (
    r"\b(?:will|would|shall|should|must|cannot|can't|couldn't|won't|didn't|hasn't|haven't|wasn't|unable"
    r"|(?:partly|partially)(?! (?:worn|chafed|corroded|cracked|blocked|loose|rusted))"
    r"|in part|going to|to be|awaits?|awaiting|pending|tomorrow|next (?:week|month|time|year|annual|inspection))\b"
    r"|\bcould not\b|^(?!\w+ed\b)\w+ (?:\w+ )?(?:soon|later)$"
    r"|\b(?:not|never|nothing) (?:\w+ ){0,2}?"
    r"(?!(?:crack|damag|need|requir|loosen|bent|broken|worn|chaf|scratch|dent|corrod|found|seen|even|leaked)\w*)"
    r"(?:\w+(?:ed|en|ne)|built|made|put|cut|reset|sent)\b"
)
# What sounds ahead and is not: a fault that did not come back, and what was waited for and came.
GONE = (
    r"\b(?:could not|couldn't|cannot|can't|unable to) (?:be )?(?:reproduc|repeat|find|found)\w*"
    r"|\bshould (?:now )?be (?:ok|good|fine|right)\b|\bwill not (?:come|happen|work|recur)\b"
)
CAME = r"^(?:waiting|awaited|pending|deferred) (?!for\b|on\b|until\b)"
DOING = (
    r"\b(?:replaced|renewed|repaired|cleaned|fitted|refitted|installed|tightened|torqued|closed|welded|drilled|adjusted"
    r"|secured|safetied|sealed|greased|exchanged|bolted|riveted|soldered|bonded|patched|locked|loctite)\b"
)
FOR_NOW = r"\b(?:for now|for the moment|meanwhile|temporar\w+|until|provisional\w*)\b"
STILL_THERE = (
    r"\bstill (?:a |an |the |is |it |\w+ly ){0,2}(?:crack|leak|loose|open|worn|stiff|past|out of|high|low|weep|seep"
    r"|rough|bad|there|the same|as (?:before|it was|found)|bent|rust|corrod|broken|missing|to )\w*"
)
CLAUSE = r"[;:,.](?:\s|$)|\s[-\u2013\u2014]\s|\bbut\b"
ELSEWHERE = r"^see (?:the |my |also )?(?:note|remark|below|above|next|log|page|text|other)\w*[\w .]*$"
# A blank, or a doubt, that was left in it.
LEFT_BLANK = r"__|\?\?|(?:^|\s)\?|\?[\s.!)\"']*$|(?:\.\.\.|\u2026)$"
# Of a flight that is to show that controls work: it was not made, or it was not found good. Common practice, no source.
NOT_GOOD = (
    r"^no$|\b(?:did not|didn't|was not|wasn't|could not|couldn't|never)\b"
    r"|\bnot (?:flown|flyable|done|made|satisfactory|good|ok|normal|true|completed?|finished|possible|safe|yet)\b"
    r"|\b(?:aborted|abandoned|postponed|cancell?ed|scrubbed|deferred|unsatisfactory|unsafe|failed|reversed|rejected)\b"
    r"|\bno (?:flight|take-?off|go)\b|\b(?:rolls?|yaws?|pulls?|heavy|drops?) (?:to the )?(?:left|right)\b"
    r"|\b(?:left|right) wing (?:heavy|drops?|low)\b|\b(?:turned|came) back\b"
)
# Besides: a flight that lies ahead, was none, or found what it was to rule out; and words that say nothing of it.
TO_FLY = (
    r"\b(?:will|shall|going to|tomorrow|next (?:week|weekend|month|time|flight|year|inspection))\b"
    r"|\b(?:fly|flown|test|check|do|tr?y)(?: it)? (?:later|soon|on the way)\b|\bneeds? (?:a|another|more)\b"
    r"|\b(?:half|part) of it\b|\bpart(?:ial)?ly\b|^when (?:the|it)\b|\bflight \w+day\b"
)
TO_REPEAT = r"\bto be (?:repeated|flown)\b"
ON_GROUND = r"\b(?:taxi\w*|ground|static|bench|run-?ups?|runs?|hops?)\b"
IN_THE_AIR = (
    r"\b(?:fl(?:y|ie|ew|own|ight)\w*|air\w*|circuits?|patterns?|laps?|climb\w*|landings?|landed|hands off|aloft)\b"
)
FAULTY = (
    r"\b(?:stuck|jam(?:s|med)?|bind(?:s|ing)?|stiff\w*|sluggish|flutter\w*|vibrat\w*|shak(?:es|ing|y)|shook|wobbl\w*"
    r"|hard to|out of (?:trim|rig)|uncontroll\w*|unstable|incident|accident|crash\w*|wrong|bad|poor|sticks?|snags?"
    r"|dead)\b"
)
# What rules out the words behind it: `no flutter or binding`, `free of vibration`.
DENIED = r"\b(?:no|not|nor|non|never|nothing|none|without|free (?:of|from)|neither|instead of|looked for)\b"
NO_WORD_OF_IT = (
    r"^(?:(?:test |check )?(?:done|flown|flew|flight|completed?|performed|carried out)|x+|(?:bad |poor )?weather|windy?"
    r"|rain|fog|no (?:time|pilot|fuel|weather|money|need|reason)|time|too (?:late|windy|dark)"
    r"|(?:see )?(?:the )?log(?:book)?|as (?:before|usual|always|required)|don't think so"
    r"|not (?:needed|required|necessary)|trust me|i think(?: so)?|maybe|planned|simulated|busy|no good|\w+ said so"
    r"|asked (?:for )?\w+|(?:no pilot|pilot|no one|nobody)(?: is| was)?(?: ill| sick| away| available| there| here)?)$"
)
IS_NEEDED = (
    r"\b(?:flight|check|it)(?: check)?(?: is)? (?:needed|required|wanted)\b|\bto be (?:flown|tested|checked)\b"
)
LEFT_OUT = (
    r"skipped|omitted|left out|(?:still )?to be (?:done|checked|inspected|seen)"
    r"|(?:was )?not (?:yet )?(?:done|checked|inspected|seen|looked at|opened|tested|measured|reached)"
    r"|could not be (?:seen|done|checked|inspected|reached|opened)|still to do|no time"
    r"|could not (?:see|reach|open|check|inspect|do|look)(?: (?:it|that|them|there|inside))?"
)
# Of a panel: it is not on, or not all of it. Common practice, no source.
IS_OFF = (
    r"^(?:still |is |it is |was )?(?:left |kept |stays? |remains? )?off(?:$|[,;:.(]"
    r"| (?:already|before|since|when|for|until|till|to|because|as|at)\b)"
    r"|\b(?:still|left|stays?|stayed|kept) (?:off|open)\b|\bnot (?:yet )?(?:back )?on\b"
    r"|\bnot (?:yet )?(?:refitted|refit|put back|closed|installed)\b"
    r"|\b(?:to be|will be) (?:refitted|refit|put back|closed)\b"
)
# Of what is behind a panel that stayed on: nobody looked; and how it was seen all the same.
UNSEEN = (
    r"\b(?:skip\w*|omitted|left out|forgot\w*|no time|no access|nobody|no one|tomorrow)\b"
    r"|\b(?:deferred|postponed|put off|stuck)\b"
    r"|\btoo (?:late|dark|cold|hot|windy|tight)\b|\blater$|\bnext (?:time|week|month|year|annual|inspection)\b"
    r"|\bnot (?:yet )?(?:done|seen|checked|inspected|looked|opened|reached)\b"
)
HOW_SEEN = (
    r"\b(?:through|mirror|boroscope|borescope|endoscope|camera|torch|lamp|window|transparent|felt|by (?:hand|feel)"
    r"|from (?:above|below|behind|inside|outside|the)|(?<!not )(?<!never )(?:seen|looked|visible|reached))\b"
)
# Where it is asked why something is not on the aircraft: that nobody looked, which nothing makes a reason.
UNLOOKED = (
    r"\bno time\b(?! limit| between| in service)|\b(?:out|short) of time\b|\bnot enough time\b|\bbusy\b"
    r"|\b(?:forgot\w*|deferred|postponed|put off|tomorrow|unable|undone|unchecked|incomplete|half done)\b"
    r"|\b(?:will|to) (?:be done|look|inspect|check|follow)\b|\bnext time\b|\bonly (?:looked|seen)\b"
    r"|\bonly from(?= (?:out|in|above|below|behind|one|the|a|far|here))|\bdid(?: not|n't) get\b|\bwent home\b"
    r"|^not (?:required|due|removed|refitted|opened)$|^(?:broken|inoperative|inop|missing)$"
)
# The same in words with which people also tell of what was built without it. Common practice, no source.
NOT_LOOKED = (
    r"\b(?:not|never|nobody|no one|didn't|couldn't|cannot|can't|wasn't) (?:\w+ ){0,2}?"
    r"(?:look|saw|see|inspect|check|open|reach|access|examin|remov|did\b|do(?:ne)?\b|test|measur)\w*"
    r"|\binaccessible\b"
)
# What was seen of it, which says that it is there, and what keeps people from looking: these are also said of what is
# not on the aircraft, or was taken off it. Common practice, no source.
SEEN_OF_IT = (
    r"\b(?:out|short|lack) of (?:reach|sight|help)\b|\b(?:no|little) (?:reach|sight|help)\b"
    r"|\bno (?:tools?|mirror|lights?|ladder|helper)(?=$|[,;:.]| to\b)"
    r"|\b(?:no|without) access(?! (?:panel|door|hole|hatch|cover))\b|\b(?:skip(?:ped)?|omitted|left (?:out$|for"
    r"|off|alone))\b"
    r"|\btoo (?:late|dark|cold|hot|windy|tight)\b|\blater$|\bwill do\b|\bto do\b"
    r"|\bnext (?:week\w*|month|year|annual|inspection)\b|\bstuck\b|\bneeds? (?:the |a )?\w+ (?:off|out)\b"
    r"|\bstill (?:off|open|on|to)\b|\b(?:worn|frayed|cracked|corroded|leak(?:s|ing)|torn|chafed)\b"
    r"|\b(?:looks? (?:good|ok|fine)|in order|checked|inspected|was (?:ok|good|fine|done))\b"
    r"|^(?:done|good|fine)\b(?! (?:weather|wire|filter|mesh|screen))"
)
# What is built so that nothing is to be seen, opened or measured there.
BY_DESIGN = (
    r"\b(?:by design|welded|sealed|glued|bonded|maintenance[- ]free|closed at the (?:factory|works)|built without"
    r"|hydraulic|solid|does not open|do not open|(?:on|of|with|in) (?:this|these|that|such) (?:type|model"
    r"|engine|propeller"
    r"|kit|aircraft|aeroplane|airplane|one|kind|version)|on (?:an?|fixed|two|single)[- ]\w+)\b"
)
# That it is not there: it is not fitted, was taken off, or its name stands behind `no` where a clause begins.
ABSENT = (
    r"\b(?:not|never|isn't|aren't|wasn't|none) (?:\w+ )?(?:fitted|installed|built|bought|equipped|provided"
    r"|supplied|carried"
    r"|on (?:this|these) \w+|part of|there)\b|\b(?:none fitted|there (?:is|are|was|were|never was) (?:none|no)|never"
    r" (?:did )?(?:ha(?:d|ve)))\b|\b(?:has|have|had) (?:none|no)\b|\bempty\b"
    r"|(?<!not )(?<!never )(?<!be )\b(?:removed|taken (?:out|off)|deleted|blanked|sold|replaced (?:by|with))\b"
    r"|(?:^|[,;:.(] ?|- )(?:has )?no (?!(?:time|access|reach|sight|help|helper|lights?|tools?|room|money|chance"
    r"|way|need|one"
    r"|reason|mirror|ladder|keys?|jacks?|cracks?|corrosion|leaks?|wear|rust|damage|defects?|play|signs?|change"
    r"|problems?"
    r"|faults?|issues?|look|inspection|checks?|tests?|luck|idea)\b)\w"
)
# Honest words in which some of those above stand.
HONEST = (
    r"\b(?:nothing|none|no (?!(?:time|access|help|helper|lights?|tools?|room|chance|way|need|one|mirror|ladder"
    r"|keys?)\b)"
    r"\w+(?: \w+){0,2}?) to (?:do|look|check|inspect|see|test|measure)\b(?: (?:at|for|into))?"
    r"|\bin order to\b|\bdone (?:away )?with(?:out)?\b|\b(?:and|or) later\b|\bonly from (?:serial|s/n|number"
    r"|model|engine|mark)"
    r"|\b(?:checked|inspected|done|left (?:off|out)|omitted|skipped|closed|covered|seen) (?:by|in) (?:the|our"
    r"|its|another)"
    r" (?:\w+ )?(?:maker|designer|builder|manufacturer|factory|plans?|kit|drawings?|check|list)\b"
    r"|\b(?:checked|inspected|done|covered) (?:under|with|by|in|at) (?:[a-z]\d+\b|`?[a-z]+(?:-[a-z]+)+`?)"
    r"|\b(?:checked|inspected|looked up) (?:with|against|in) (?:the )?(?:drawings?|plans?|manual|builder|maker)\b"
    r"|\b(?:is|are) (?:checked|inspected) (?:when|before|once)\b|\b(?:is|are) worn (?:by|on)\b|^life \w+ (?:is"
    r"|are) worn$"
    r"|\bnot (?:flown|fly) (?:under |in |at |by )?(?:ifr|imc|night|instrument\w*)\b|\bnot yet (?:fitted"
    r"|installed|built|bought)\b"
    r"|\bfor good$|\bstill off since\b|\bnever did have\b|\bleft off (?:for|since|in) (?:the |this )?(?:good"
    r"|winter|summer|season)\b|\bnot (?:needed|required) to\b"
)
# Answers, and no reasons: `not needed: no`.
ANSWERS = frozenset(("no", "yes", "ok", "okay", "o.k", "fine", "may wait", "it may wait", "can wait", "it can wait"))

# Of a certificate: it was, or is to be, and is not. Common practice, no source.
NOT_HELD = (
    r"\b(?:expired|revoked|suspended|lapsed|surrendered|former(?:ly)?|invalid|void|not (?:valid|current|yet)|student"
    r"|pending|applied|applicant|trainee|cancell?ed|denied)\b"
)
# That a certificate ends, with the day, month or year: a day of it, and no number of its own.
ENDS = (
    r"\b(?:until|till|to|through|thru|exp(?:ire[sd]?|iry|iration)?|ends?|valid)\b[^\d]{0,20}"
    r"((?:19|20)\d\d(?:-\d\d(?:-\d\d)?)?)(?!-?\d)"
)
# What people write where a name is asked and none is meant, or somebody else's is not at hand. Common practice.
NOBODY = frozenset(
    (
        *("same", "same person", "same as above", "as above", "see above", "above", "ditto", "dto", "idem", "me"),
        *("myself", "self", "him", "her", "none", "nobody", "no one", "noone", "n/a", "na", "nil", "null", "tbd"),
        *("todo", "unknown", "ok", "okay", "yes", "no", "done", "xx", "xxx", "signed", "signature", "initials"),
        *("name", "later", "helper", "friend", "somebody", "someone", "builder", "owner", "inspector", "mechanic"),
        *("repairman", "pilot", "signer", "engineer", "technician", "assistant", "colleague", "doer", "a&p", "other"),
        *("another", "second person", "person", "wife", "husband", "neighbour", "neighbor", "hangar mate"),
        *("pilot in command", "pilot-in-command", "pic", "co-pilot", "copilot", "captain", "test pilot", "crew"),
    )
)
# How more words than those begin, and the words of the question itself: `not yet`, `to be found`, `second look`.
NOBODY_YET = (
    r"^(?:not|to be|still to|unknown|whoever|(?:some|any|no)(?:body|[ -]?one) (?:else|yet|so far))\b"
    r"|\b(?:second look|pair of eyes|not (?:yet )?known)\b"
)
# What somebody wrote into a list of names: `crack found`, `Pip Ash: see oil leak`. Common practice, no source.
IN_NO_NAME = (
    r"\b(?:crack(?:s|ed)?|leak(?:s|ing|ed)?|loose|missing|worn|broken|chafed|corroded|defect(?:s|ive)?|found|replaced"
    r"|repaired|checked|inspected|not done|to do)\b"
)
# What stands in a text where words are still to be written: anything in the brackets of a form, dots, marks of a
# variable, a note to oneself; and a word in capitals in a text that is not all of them. Common practice, no source.
TO_WRITE = (
    r"(?i)<[^<>]*>|\[[^\[\]]*\]|\((?:your |full |the )?(?:name|date|number|signature)\)"
    r"|\.{3}|\u2026|[?]|/[ _]+/|%\w+%|\$\w+"
    r"|\b(?:x{2,}|tb[acd]|to ?do|fix ?me|placeholder|lorem ipsum|(?:your|full|my) name|fill (?:in|me)"
    r"|to be (?:written|filled|copied|added)|(?:insert|write|enter|add|put) (?:\w+ ){0,3}(?:here|name|date)"
    r"|(?:name|date|statement|words|text|wording) here|copy (?:it|this|them|the|from)|d{2}[-./]m{2}[-./]y{2,4}"
    r"|m{2}[-./]d{2}[-./]y{2,4}|y{4}[-./]m{2}[-./]d{2})\b|^(?:see|as (?:in|per)) (?:the )?(?:operating )?limitations\b"
)
IN_CAPITALS = (
    r"\b(?:(?:YOUR|FULL|THE) )?(?:NAMES?|DATES?|DAY|SIGNATURE|SIGNED|CERTIFICATE|NUMBER|TIME|HOURS|REGISTRATION|TACH)\b"
)


def left_to_write(words: str) -> str:
    """What stands in a text for words that are still to be written, `<name>` or `DATE`; "" where nothing does.

    What stands in braces is filled in, or told by its own name.
    """
    plain = re.sub(r"\{[^{}]*\}?", " ", words)
    found = re.search(TO_WRITE, plain) or (re.search(IN_CAPITALS, plain) if re.search("[a-z]", plain) else None)
    return found.group().strip() if found is not None else ""


def says_nothing(words: str) -> bool:
    """Whether words are none: no letter and no digit, or what people write who have nothing to say (`-`, `n/a`)."""
    return not any(map(str.isalnum, words)) or _plain(words) in NOTHING


def tells_nothing_seen(words: str) -> bool:
    """Whether words say nothing where it is asked what was seen, that nobody looked, or no more than a letter that is
    a mark on paper (`F`, `n.`): there `none` says that there was none.
    """
    if says_nothing(words):
        return _plain(words) not in NOT_THERE
    return says_left_out(words) or (_is_a_mark(words) and any(map(str.isalpha, words)))


def leads_nowhere(words: str) -> bool:
    """Whether words lead to no paper: they say nothing, only that there is one or will be, or leave its place blank."""
    return says_nothing(words) or _plain(words) in LEADS_NOWHERE or any(mark in words for mark in BLANKS)


def names_no_page(words: str) -> bool:
    """Whether words name no page on which ink can stand: no list of words ends (`to follow`, `in pencil`), but a page,
    a line or a day of a logbook has a number.
    """
    return leads_nowhere(words) or not any(map(str.isdigit, words))


def says_undone(words: str) -> bool:
    """Whether words that are to say how something was done say that it was not, or is to be: `not yet`, `on order`."""
    return says_nothing(words) or re.search(UNDONE, _plain(words)) is not None


def says_uncorrected(words: str) -> bool:
    """Whether words that are to say how a finding was corrected say that it was not, or have a blank left in them."""
    plain = _plain(words)
    first, *others = re.split(CLAUSE, plain)
    slips = (UNCORRECTED, STILL_THERE, ELSEWHERE)
    if says_nothing(words) or in_doubt(words) or any(re.search(slip, plain) is not None for slip in slips):
        return True
    if any(map(_says_done, others)) and re.search(GONE, first) is not None:
        return False
    if re.search(CAME, first) is not None and any(map(_says_done, (re.sub(CAME, "", first), *others))):
        return False
    found = first.strip().startswith(("found ", "was found ", "raised in error"))
    return says_undone(words) or (not found and re.search(AHEAD, first) is not None)


def _says_done(clause: str) -> bool:
    """Whether a clause says that something was done, for good."""
    ahead = re.search(AHEAD, clause) or re.search(FOR_NOW, clause)
    return ahead is None and re.search(DOING, clause) is not None


def says_not_good(words: str) -> bool:
    """Whether words that are to say how a flight check went say that it was not flown, or not found good."""
    plain = _plain(words)
    if says_undone(words) or re.search(NOT_GOOD, plain) is not None or _tells_no_check(plain) or in_doubt(words):
        return True
    if re.search(ON_GROUND, plain) is not None and re.search(IN_THE_AIR, plain) is None:
        return True
    found = ((clause, re.search(FAULTY, clause)) for clause in re.split(CLAUSE, plain))
    return any(fault is not None and re.search(DENIED, clause[: fault.start()]) is None for clause, fault in found)


def _tells_no_check(plain: str) -> bool:
    """Whether words about a flight check put it off, or say nothing of what showed that all is well."""
    first = re.split(CLAUSE, plain)[0]
    slips = ((ELSEWHERE, plain), (NO_WORD_OF_IT, plain), (TO_REPEAT, plain), (TO_FLY, first))
    return any(re.search(slip, words) is not None for slip, words in slips)


def says_needed(words: str) -> bool:
    """Whether words that are to show why no flight check is needed show nothing, or say that it is."""
    plain = _plain(words)
    if is_no_reason(words) or says_undone(words) or re.search(IS_NEEDED, plain) is not None:
        return True
    return _tells_no_check(plain) or in_doubt(words)


def says_left_out(note: str) -> bool:
    """Whether a note says first that nothing was done or seen: `skipped`, `not looked at, no time`."""
    return re.match(rf"(?:{LEFT_OUT})(?:$|[,;:.]| -| as\b| because\b|\s*\()", _plain(note)) is not None


def says_unlooked(words: str) -> bool:
    """Whether words that are to say why something is not on the aircraft say that nobody looked, or how it was."""
    plain = re.sub(HONEST, "", _plain(words))
    if any(re.search(slip, plain) is not None for slip in (UNDONE_THERE, UNLOOKED)) or in_doubt(words):
        return True
    if re.search(BY_DESIGN, plain) is None and re.search(NOT_LOOKED, plain) is not None:
        return True
    return re.search(ABSENT, plain) is None and re.search(SEEN_OF_IT, plain) is not None


def says_off(note: str) -> bool:
    """Whether words below a panel that is to be back on say that it is not: `still off`, `left off for the painter`."""
    return re.search(IS_OFF, _plain(note)) is not None


def says_unseen(words: str) -> bool:
    """Whether words that are to say how something behind a panel was seen, which stayed on, say that nothing was."""
    plain = _plain(words)
    return re.search(UNSEEN, plain) is not None and re.search(HOW_SEEN, plain) is None


def _is_a_mark(words: str) -> bool:
    """Whether words are no more than one letter or figure; one sign of another alphabet may be a word."""
    said = [mark for mark in words if mark.isalnum()]
    return len(said) == 1 and said[0].isascii()


def is_no_reason(words: str) -> bool:
    """Whether words give no reason where it is asked why or how: they say nothing, or are a bare answer, figure or
    letter.
    """
    return says_nothing(words) or _is_a_mark(words) or _plain(words) in ANSWERS or not any(map(str.isalpha, words))


# Why something may wait: words that say that it may not, wherever they stand.
MAY_NOT_WAIT = (
    r"\b(?:must (?:be )?(?:fix(?:ed)?|repair(?:ed)?|correct(?:ed)?|replaced?|done)|has to be (?:fixed|repaired"
    r"|replaced|done)"
    r"|(?:not |un)air\w+hy|unsafe|not safe(?! to (?:step|stand|lean|sit|touch))|dangerous"
    r"|(?:do not|don't|must not|may not) (?:be )?fl(?:y|own)|(?:may|can|must|could) ?not wait|can't wait)\b"
)
# Or that say so alone, or that nobody knows. Common practice, no source.
MUST_NOT_WAIT = (
    r"^(?:(?:to be|fix(?:ed)?|repair(?:ed)?|done) ){0,3}(?:before|prior to) (?:the |any |next |first |further )*flight$"
    r"|^(?:aircraft |aeroplane |airplane )?grounded$|^(?:ask|call|see|check with) (?:a |an |the |my )?"
    r"(?:mechanic|inspector|engineer|maker)$|^(?:no (?:time|parts?|money|idea)|no-?go|fix it|as found|not sure"
    r"|urgent|asap|aog"
    r"|immediately|in a hurry|not (?:permitted|allowed)|(?:it )?should hold|(?:out of|past|over) (?:the |its )?limits?"
    r"|(?:will )?(?:fix|repair|do)(?: it)? (?:later|soon)|needs? (?:fixing|repair(?:ing)?|replac(?:ing|ement)"
    r"|attention))$"
)
# What a time or a use is, of which it is said: of others it is not. Until when nobody may fly is none.
IN_TIME = (
    r"^(?!.*\b(?:before|prior to|by) (?:\w+ ){0,2}flight\b).*?\b(?:by|within|at (?:the |its )?(?:next "
    r"|coming )?(?:annual|overhaul"
    r"|inspection|condition|oil change)|(?:before|than|beyond|past) (?:the |its )?(?:next )?(?:annual|overhaul"
    r"|inspection|winter"
    r"|summer|spring|autumn|season|\d+)|in (?:winter|spring|summer|autumn)|next (?:year|winter|annual|inspection))\b"
)
IN_USE = (
    r"\b(?:(?:at|by) night|ifr|imc|in (?:the )?(?:rain|icing|ice|snow|clouds?)|above \d+|below \d+|inverted|aerobatics?"
    r"|with passengers|over water)\b"
)


def may_not_wait(words: str) -> bool:
    """Whether words that are to say why a finding may wait give no reason, or say that it may not."""
    return is_no_reason(words) or word_that_may_not_wait(words) != ""


def word_that_may_not_wait(words: str) -> str:
    """What in words says that a finding may not wait; "" where nothing does."""
    plain = _plain(words)
    if (whole := re.search(MUST_NOT_WAIT, plain)) is not None:
        return whole.group()
    for part in re.split(r"[;:,.](?:\s|$)|\s[-\u2013\u2014]\s|\b(?:but|and)\b", plain):
        for found in re.finditer(MAY_NOT_WAIT, part):
            before, after = part[: found.start()], plain[plain.index(part) + found.end() :]
            denied = re.search(r"\b(?:no(?! doubt| longer)|not|nothing|never|nor|neither|without|\w+n't)\b", before)
            in_time = found.group().startswith(("must", "has", "can", "may")) and re.search(IN_TIME, after)
            if not (denied or in_time or re.search(IN_USE, after)):
                return found.group()
    return ""


def is_no_reason_why_not(words: str) -> bool:
    """Whether words say nothing where it is asked why something is not on the aircraft: there `none` is an answer."""
    return is_no_reason(words) and _plain(words) not in NOT_THERE


def in_doubt(words: str) -> bool:
    """Whether a blank or a question mark was left in words: `Ann ____`, `123?`, `58 kt ?`."""
    return re.search(LEFT_BLANK, words.strip()) is not None


def is_left_open(words: str) -> bool:
    """Whether words say nothing, or a blank or a doubt was left in them."""
    return says_nothing(words) or in_doubt(words)


def is_no_number(number: str, on: dt.date | None = None) -> bool:
    """Whether what stands for the number of a certificate is none: without a digit (`applied for`), in doubt, or that
    of one which is not held (`123 (expired)`). A certificate that ends on a day may say so: after it it is none.
    """
    held = re.search(NOT_HELD, number.casefold()) is None
    return in_doubt(number) or has_no_digit(number) or not held or (on is not None and has_ended(number, on))


def has_no_digit(number: str) -> bool:
    """Whether no digit stands for the number of a certificate, but for those of the day on which it ends."""
    return not any(map(str.isdigit, re.sub(ENDS, "", number.casefold())))


def has_ended(number: str, on: dt.date) -> bool:
    """Whether the words beside the number of a certificate say that it ended before a day."""
    return any(on.isoformat()[: len(end)] > end for end in re.findall(ENDS, number.casefold()))


def names_nobody(name: str) -> bool:
    """Whether a name is none: fewer than two letters, in doubt, or what people write who leave it out (`same`)."""
    if in_doubt(name):
        return True
    plain = " ".join(name.split())
    word = re.sub(r"^(?:the|a|an|my|our|his|her) ", "", plain.casefold().strip(" .!?-()"))
    if re.search(r"\(\s*(?:student|trainee|applicant|learner)\b", plain.casefold()) is not None:
        # Whoever says so of himself is not the one whose name is asked for.
        return True
    if re.search(NOBODY_YET, word) is not None:
        return True
    return sum(mark.isalpha() for mark in plain) < 2 or word in NOBODY or plain.casefold().strip(" .!?-") in NOBODY


def names_no_person(name: str) -> bool:
    """Whether a name has a word of what was found or done in it, in small letters: Rust and Bent are names."""
    return re.search(IN_NO_NAME, name) is not None


def _plain(words: str) -> str:
    return " ".join(words.casefold().replace("\u2019", "'").split()).strip(" .!?-()")
