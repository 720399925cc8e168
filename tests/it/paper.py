"""Checks the structure of a dossier on paper: what PDF/A-2a (ISO 19005-2:2011) and PDF/UA-1 (ISO 14289-1:2014) ask of a file.

Run by tests/it/paper.rs in a virtual environment with pikepdf: paper.py FILE prints, check for check, how many things were
looked at and what is wrong with them. paper_damage.py tries every check on files that are damaged for it.

The standards' own texts were not at hand. The numbers of clauses beside each check are those that the veraPDF consortium's
public validation profiles give for the same rule; those marked * are from memory.
"""

import json
import re
import sys
from xml.etree import ElementTree

from pikepdf import Array, ContentStreamInlineImage, Dictionary, Name, Pdf, Stream, parse_content_stream

# ISO 32000-1, 14.8.4: the standard structure types.
STANDARD = set(
    "Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private P H H1 H2 H3 H4 H5 H6 L LI Lbl LBody Table TR"
    " TH TD THead TBody TFoot Span Quote Note Reference BibEntry Code Link Annot Ruby RB RT RP Warichu WT WP Figure Formula Form".split()
)
# ISO 32000-1, Annex A: the operators that put something on a page; `n` ends a path and paints nothing.
PAINTING = set("f F f* B B* b b* s S sh Do INLINE IMAGE Tj TJ ' \"".split())
SPACES = {
    "dc": "http://purl.org/dc/elements/1.1/",
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "pdfaid": "http://www.aiim.org/pdfa/ns/id/",
    "pdfuaid": "http://www.aiim.org/pdfua/ns/id/",
}


def listed(value):
    """One thing or many, as a list."""
    return [] if value is None else list(value) if isinstance(value, Array) else [value]


def bare(name):
    return str(name).removeprefix("/")


class Element:
    """A node of the structure tree."""

    def __init__(self, thing, kind, parent):
        self.thing, self.kind, self.parent = thing, kind, parent
        self.parts, self.marks, self.objects = [], [], []

    def __str__(self):
        return f"{self.kind} {self.thing.objgen[0]}"

    def attributes(self, owner):
        """What the attributes of one owner say."""
        said = {}
        for one in listed(self.thing.get("/A")):
            if isinstance(one, Dictionary) and one.get("/O") == owner:
                said.update({bare(key): value for key, value in one.items()})
        return said

    def within(self, kinds):
        """All elements of some kinds below this one, in the order of reading."""
        for part in self.parts:
            if part.kind in kinds:
                yield part
            else:
                yield from part.within(kinds)


class Content:
    """What a page draws: its marked-content numbers, the codes that each face is asked for, and what is drawn outside of all."""

    def __init__(self, page, number):
        self.marks, self.wrong, self.codes, self.drawn = [], [], {}, 0
        at, fonts = f"page {number + 1}", page.Resources.get("/Font", {})
        font, kept, open_marks = None, [], []
        for instruction in parse_content_stream(page):
            if isinstance(instruction, ContentStreamInlineImage):
                operator, operands = "INLINE IMAGE", []
            else:
                operator, operands = str(instruction.operator), instruction.operands
            if operator in ("BMC", "BDC"):
                tag, mcid = bare(operands[0]), None
                if operator == "BDC":
                    about = operands[1]
                    if isinstance(about, Name):
                        about = page.Resources.Properties[about]
                    mcid = about.get("/MCID")
                sort = "artifact" if tag == "Artifact" else "tagged" if mcid is not None else "neither"
                for outer in open_marks:
                    if {sort, outer} == {"artifact", "tagged"}:
                        self.wrong.append(f"{at}: {sort} within {outer}")
                open_marks.append(sort)
                if mcid is not None:
                    self.marks.append(int(mcid))
            elif operator == "EMC":
                if not open_marks:
                    self.wrong.append(f"{at}: an end without a beginning")
                else:
                    open_marks.pop()
            elif operator == "q":
                kept.append(font)
            elif operator == "Q":
                font = kept.pop() if kept else None
            elif operator == "Tf":
                font = fonts.get(str(operands[0]))
            if operator not in PAINTING:
                continue
            self.drawn += 1
            if not {"artifact", "tagged"} & set(open_marks):
                self.wrong.append(f"{at}: {operator} is neither tagged nor an artifact")
            if operator == "Do":
                image = page.Resources.XObject[operands[0]]
                if image.get("/Subtype") != "/Image":
                    self.wrong.append(f"{at}: a form, and nothing here looks into forms")
            elif operator in ("Tj", "TJ", "'", '"') and font is not None:
                for part in listed(operands[-1]):
                    if isinstance(part, (int, float)) or type(part).__name__ == "Decimal":
                        continue
                    data = bytes(part)
                    width = 2 if font.get("/Subtype") == "/Type0" else 1
                    codes = self.codes.setdefault(font.objgen, set())
                    codes.update(data[k : k + width] for k in range(0, len(data), width))
        if open_marks:
            self.wrong.append(f"{at}: {len(open_marks)} beginnings without an end")


class Paper:
    """A file, read once for all checks."""

    def __init__(self, path):
        self.pdf = Pdf.open(path)
        self.root = self.pdf.Root
        self.pages = list(self.pdf.pages)
        self.number = {page.obj.objgen: n for n, page in enumerate(self.pages)}
        self.contents = [Content(page, n) for n, page in enumerate(self.pages)]
        self.links = [
            (n, link) for n, page in enumerate(self.pages) for link in listed(page.obj.get("/Annots")) if link.get("/Subtype") == "/Link"
        ]
        self.everything = []
        for thing in self.pdf.objects:
            self.gather(thing)
        self.gather(self.pdf.trailer)
        self.elements, self.found, self.stray = [], {}, []
        self.tree = self.root.get("/StructTreeRoot")
        if self.tree is not None:
            for kid in listed(self.tree.get("/K")):
                self.walk(kid, None)
        self.parents = dict(self.pairs(self.tree.get("/ParentTree"))) if self.tree is not None else {}

    def gather(self, thing):
        """Every dictionary and stream of the file, also those within others."""
        if isinstance(thing, (Dictionary, Stream)):
            self.everything.append(thing)
            inner = [value for key, value in thing.items() if isinstance(value, (Dictionary, Array))]
        elif isinstance(thing, Array):
            inner = [value for value in thing if isinstance(value, (Dictionary, Array))]
        else:
            return
        for value in inner:
            if not value.is_indirect:
                self.gather(value)

    def kind(self, element):
        """The standard type of an element, through the role map."""
        kind, roles, seen = bare(element.get("/S")), self.tree.get("/RoleMap", {}), set()
        while kind not in STANDARD and kind not in seen and f"/{kind}" in roles:
            seen.add(kind)
            kind = bare(roles[f"/{kind}"])
        return kind

    def walk(self, thing, parent):
        """The tree in the order of reading."""
        if thing.objgen in self.found:
            self.stray.append(f"{self.found[thing.objgen]} hangs in the tree twice")
            return
        element = Element(thing, self.kind(thing), parent)
        self.found[thing.objgen] = element
        self.elements.append(element)
        if parent is not None:
            parent.parts.append(element)
        above = self.tree if parent is None else parent.thing
        if thing.get("/P") is None or thing.P.objgen != above.objgen:
            self.stray.append(f"{element} names another parent than the one it hangs from")
        for kid in listed(thing.get("/K")):
            if isinstance(kid, int):
                element.marks.append((thing.Pg.objgen, kid))
            elif kid.get("/Type") == "/MCR":
                element.marks.append((kid.get("/Pg", thing.get("/Pg")).objgen, int(kid.MCID)))
            elif kid.get("/Type") == "/OBJR":
                element.objects.append(kid.Obj.objgen)
            else:
                self.walk(kid, element)

    def pairs(self, node):
        """What a number tree holds (ISO 32000-1, 7.9.7)."""
        if node is None:
            return
        numbers = listed(node.get("/Nums"))
        yield from ((int(key), value) for key, value in zip(numbers[::2], numbers[1::2]))
        for kid in listed(node.get("/Kids")):
            yield from self.pairs(kid)

    def of(self, *kinds):
        return [element for element in self.elements if element.kind in kinds]

    def metadata(self):
        stream = self.root.get("/Metadata")
        return None if stream is None else ElementTree.fromstring(stream.read_bytes())

    def goals(self):
        """Every destination, with what leads there."""
        for n, link in self.links:
            action = link.get("/A")
            yield f"a link of page {n + 1}", link.get("/Dest") if action is None else action.get("/D")
        for item, _ in self.items():
            action = item.get("/A")
            yield f"outline {item.get('/Title')}", item.get("/Dest") if action is None else action.get("/D")

    def items(self, node=None):
        """The items of the outline, with what stands above each."""
        node = self.root.get("/Outlines") if node is None else node
        item = None if node is None else node.get("/First")
        seen = set()
        while item is not None and item.objgen not in seen:
            seen.add(item.objgen)
            yield item, node
            yield from self.items(item)
            item = item.get("/Next")


CHECKS = {}


def check(clauses):
    """A check takes the file and a way to say what is wrong, and gives how many things it looked at."""

    def named(function):
        CHECKS[function.__name__] = (clauses, function)
        return function

    return named


@check("ISO 19005-2, 6.6.4: part 2, conformance A. ISO 14289-1, 5: part 1")
def claims(paper, wrong):
    metadata = paper.metadata()
    for name, value in (("pdfaid:part", "2"), ("pdfaid:conformance", "A"), ("pdfuaid:part", "1")):
        said = [] if metadata is None else [one.text for one in metadata.iterfind(f".//{name}", SPACES)]
        if said != [value]:
            wrong(f"{name} is {said} and not {value}")
    return 3


@check("ISO 14289-1, 7.1: the metadata have a title")
def title(paper, wrong):
    metadata = paper.metadata()
    if metadata is None:
        return 0
    said = [one.text for one in metadata.iterfind(".//dc:title/rdf:Alt/rdf:li", SPACES)]
    if not said or not all(said):
        wrong("no title in the metadata")
    return 1


@check("ISO 19005-2, 6.2.3: an output intent with a whole ICC profile of a screen or printer, no newer than version 4")
def intent(paper, wrong):
    intents = [one for one in listed(paper.root.get("/OutputIntents")) if one.get("/S") == "/GTS_PDFA1"]
    if len(intents) != 1:
        wrong(f"{len(intents)} output intents")
    for one in intents:
        profile = one.get("/DestOutputProfile")
        if profile is None:
            wrong("an output intent without a profile")
            continue
        data = profile.read_bytes()
        # ICC.1:2010, 7.2: size, version, class, space of colours, signature.
        size, version, sort, space, signature = int.from_bytes(data[:4], "big"), data[8:9], data[12:16], data[16:20], data[36:40]
        if (size, signature) != (len(data), b"acsp") or version > b"\x04" or sort not in (b"mntr", b"prtr"):
            wrong("the output intent's profile is no whole profile")
        if (space, profile.get("/N")) not in ((b"RGB ", 3), (b"GRAY", 1), (b"CMYK", 4)):
            wrong(f"the profile is for {space}, and N says {profile.get('/N')}")
    return len(intents)


@check("ISO 19005-2, 6.7.2: Marked is true. ISO 14289-1, 7.1: Suspects is not")
def marked(paper, wrong):
    about = paper.root.get("/MarkInfo", {})
    if about.get("/Marked") is not True or about.get("/Suspects", False) is not False:
        wrong("the file does not say that it is tagged and nothing in it suspect")
    return 1


@check("ISO 19005-2, 6.7.4*; ISO 14289-1, 7.2: a language, as RFC 3066 writes it")
def language(paper, wrong):
    said = [paper.root.get("/Lang", "")] + [thing.Lang for thing in paper.everything if "/Lang" in thing]
    for one in said:
        if not re.fullmatch(r"[a-zA-Z]{1,8}(-[a-zA-Z0-9]{1,8})*", str(one)):
            wrong(f"{str(one)!r} is no language")
    return len(said)


@check("ISO 14289-1, 7.1: the window shows the title")
def window(paper, wrong):
    if paper.root.get("/ViewerPreferences", {}).get("/DisplayDocTitle") is not True:
        wrong("DisplayDocTitle is not true")
    return 1


@check("ISO 19005-2, 6.7.3: a tree of elements that say their type; ISO 14289-1, 7.1: of standard kinds. All are reached, once")
def tree(paper, wrong):
    if paper.tree is None:
        wrong("no structure tree")
        return 0
    for one in paper.stray:
        wrong(one)
    for element in paper.elements:
        if not element.thing.is_indirect or element.thing.get("/Type") != "/StructElem":
            wrong(f"{element} is no element by its type")
        if element.kind not in STANDARD:
            wrong(f"{element} is of no standard kind")
        if bare(element.thing.get("/S")) in STANDARD and str(element.thing.S) in paper.tree.get("/RoleMap", {}):
            wrong(f"{element}: a standard kind is mapped to another")
    for thing in paper.everything:
        if thing.get("/Type") == "/StructElem" and thing.objgen not in paper.found:
            wrong(f"element {thing.objgen[0]} is not reached from the root")
    return len(paper.elements)


@check("ISO 32000-1, 14.7.4: every marked-content number belongs to one element, and the parent tree leads to it")
def numbers(paper, wrong):
    if paper.tree is None:
        return 0
    owners = {}
    for element in paper.elements:
        for mark in element.marks:
            owners.setdefault(mark, []).append(element)
    n, keys = 0, set()
    for page, content in zip(paper.pages, paper.contents):
        at, key = page.obj.objgen, page.obj.get("/StructParents")
        name = f"page {paper.number[at] + 1}"
        if key is None:
            if content.marks:
                wrong(f"{name} has numbers and no way to the parent tree")
            continue
        if key in keys:
            wrong(f"{name} has the key of another page")
        keys.add(key)
        row = paper.parents.get(key)
        if not isinstance(row, Array):
            wrong(f"{name} is not in the parent tree")
            continue
        if len(set(content.marks)) != len(content.marks):
            wrong(f"{name} draws a number twice")
        for mark in sorted(set(content.marks)):
            n += 1
            who = owners.pop((at, mark), [])
            if len(who) != 1:
                wrong(f"{name}, number {mark}: {len(who)} elements have it")
            elif not (0 <= mark < len(row)) or row[mark] is None or row[mark].objgen != who[0].thing.objgen:
                wrong(f"{name}, number {mark}: the parent tree does not lead to {who[0]}")
        surplus = [mark for mark, who in enumerate(row) if who is not None and mark not in content.marks]
        if surplus:
            wrong(f"{name}: numbers {surplus} of the parent tree are not drawn")
        for mark in [mark for mark in owners if mark[0] == at]:
            wrong(f"{name}, number {mark[1]}: {owners.pop(mark)[0]} has it, and it is not drawn")
    for (at, mark), who in owners.items():
        if at not in paper.number:
            wrong(f"number {mark} of {who[0]} is on no page of this file")
    return n


@check("ISO 14289-1, 7.1: everything drawn is tagged or an artifact, and neither lies in the other")
def content(paper, wrong):
    for one in paper.contents:
        for line in one.wrong:
            wrong(line)
    return sum(one.drawn for one in paper.contents)


@check("ISO 14289-1, 7.4.2: H1 comes first, and no level is skipped on the way down; 7.4.4: no H beside H1 to H6")
def headings(paper, wrong):
    level, found = 0, paper.of("H", "H1", "H2", "H3", "H4", "H5", "H6")
    for heading in found:
        if heading.kind == "H":
            wrong(f"{heading} has no level")
            continue
        own = int(heading.kind[1:])
        if own > level + 1:
            wrong(f"{heading} {heading.thing.get('/T', '')} comes after level {level}")
        level = own
    return len(found)


@check("ISO 14289-1, 7.3: every figure is told in words")
def figures(paper, wrong):
    for figure in paper.of("Figure"):
        if not str(figure.thing.get("/Alt", figure.thing.get("/ActualText", ""))).strip():
            wrong(f"{figure} has no words")
    return len(paper.of("Figure"))


@check("ISO 32000-1, 14.8.5.4.3*: every figure says which part of its page it takes")
def boxes(paper, wrong):
    for figure in paper.of("Figure"):
        box, page = figure.attributes("/Layout").get("BBox"), figure.thing.get("/Pg")
        if box is None or page is None:
            wrong(f"{figure} has no box")
            continue
        left, low, right, high = map(float, box)
        _, _, width, height = map(float, page.MediaBox)
        if not (0 <= left < right <= width and 0 <= low < high <= height):
            wrong(f"{figure}: its box does not lie on its page")
    return len(paper.of("Figure"))


def span(cell, name):
    return int(cell.attributes("/Table").get(name, 1))


@check("ISO 14289-1, 7.2: all rows of a table have as many cells, those that reach over several counted")
def rows(paper, wrong):
    n = 0
    for table in paper.of("Table"):
        widths, below = [], []
        for row in table.within({"TR"}):
            here = below.pop(0) if below else 0
            for cell in row.within({"TH", "TD"}):
                wide, high = span(cell, "ColSpan"), span(cell, "RowSpan")
                here += wide
                below += [0] * (high - 1 - len(below))
                for k in range(high - 1):
                    below[k] += wide
            widths.append(here)
            n += 1
        if not widths or len(set(widths)) != 1 or not widths[0]:
            wrong(f"{table}: its rows have {sorted(set(widths))} cells")
        if below:
            wrong(f"{table}: cells reach below the last row")
    return n


@check("ISO 14289-1, 7.5: every table has heads, and each says whether it heads a column or a row, or is named by its cells")
def heads(paper, wrong):
    n = 0
    for table in paper.of("Table"):
        cells = list(table.within({"TH", "TD"}))
        named = {bytes(one) for cell in cells for one in listed(cell.attributes("/Table").get("Headers"))}
        found = [cell for cell in cells if cell.kind == "TH"]
        n += len(found)
        if not found:
            wrong(f"{table} has no heads")
        for head in found:
            scope, own = head.attributes("/Table").get("Scope"), head.thing.get("/ID")
            if scope not in ("/Column", "/Row", "/Both") and (own is None or bytes(own) not in named):
                wrong(f"{head} of {table} does not say what it heads")
    return n


# ISO 32000-1, 14.8.4.2, 14.8.4.3.3 and 14.8.4.3.4: what may lie in what.
WITHIN = {
    "Table": "(Caption )?(THead )?(TR |TBody )+(TFoot )?(Caption )?",
    "THead": "(TR )+",
    "TBody": "(TR )+",
    "TFoot": "(TR )+",
    "TR": "(TH |TD )+",
    "L": "(Caption )?(L |LI )+",
    "LI": "(Lbl )?(LBody )+",
    "TOC": "(Caption )?(TOC |TOCI )+",
}
ABOVE = {"TR": "Table THead TBody TFoot", "THead": "Table", "TBody": "Table", "TFoot": "Table", "TH": "TR", "TD": "TR", "LI": "L", "LBody": "LI", "TOCI": "TOC"}


@check("ISO 14289-1, 7.2: tables, lists and contents are made of what they may be made of")
def nesting(paper, wrong):
    n = 0
    for element in paper.elements:
        if element.kind in WITHIN:
            n += 1
            inner = "".join(f"{part.kind} " for part in element.parts)
            if not re.fullmatch(WITHIN[element.kind], inner):
                wrong(f"{element} holds {inner}")
        if element.kind in ABOVE:
            n += 1
            if element.parent is None or element.parent.kind not in ABOVE[element.kind].split():
                wrong(f"{element} lies in {element.parent}")
    return n


@check("ISO 14289-1, 7.18.5: every link says in words where it leads")
def link_words(paper, wrong):
    for n, link in paper.links:
        if not str(link.get("/Contents", "")).strip():
            wrong(f"page {n + 1}: a link without words")
    return len(paper.links)


@check("ISO 14289-1, 7.18.5: every link belongs to a Link element, which names it and which the parent tree leads to")
def links(paper, wrong):
    if paper.tree is None:
        return 0
    for n, link in paper.links:
        owners = [element for element in paper.elements if link.objgen in element.objects]
        led = paper.parents.get(link.get("/StructParent"))
        if [owner.kind for owner in owners] != ["Link"]:
            wrong(f"page {n + 1}: a link belongs to {[str(owner) for owner in owners]}")
        elif not isinstance(led, Dictionary) or led.objgen != owners[0].thing.objgen:
            wrong(f"page {n + 1}: the parent tree does not lead from a link to its element")
    known = {link.objgen for _, link in paper.links}
    for element in paper.of("Link"):
        if not element.objects or not known.issuperset(element.objects):
            wrong(f"{element} has no link on any page")
    return len(paper.links)


@check("ISO 14289-1, 7.18.3: on pages with links, the key for the next one follows the structure")
def tabs(paper, wrong):
    with_links = [page for page in paper.pages if listed(page.obj.get("/Annots"))]
    for page in with_links:
        if page.obj.get("/Tabs") != "/S":
            wrong(f"page {paper.number[page.obj.objgen] + 1} has the order {page.obj.get('/Tabs')}")
    return len(with_links)


@check("ISO 19005-2, 6.2.11.4; ISO 14289-1, 7.21.4.1: every face is in the file")
def faces(paper, wrong):
    fonts = [thing for thing in paper.everything if thing.get("/Type") == "/Font" and thing.get("/Subtype") not in ("/Type0", "/Type3")]
    for font in fonts:
        about = font.get("/FontDescriptor", {})
        programs = [about[key] for key in ("/FontFile", "/FontFile2", "/FontFile3") if key in about]
        # ISO 14496-22, and Adobe Technical Note 5176*: how a face's program begins.
        if len(programs) != 1 or not programs[0].read_bytes().startswith((b"\0\1\0\0", b"true", b"OTTO", b"\1\0\4", b"%!PS")):
            wrong(f"{font.get('/BaseFont')} is not in the file")
    return len(fonts)


def units(data):
    """What a CMap gives for `<0041>` and the like: pairs of code and signs (Adobe Technical Note 5411*)."""
    text = data.decode("latin-1")
    token = r"\s*<([0-9A-Fa-f]+)>"
    for block in re.findall(r"beginbfchar(.*?)endbfchar", text, re.S):
        for code, signs in re.findall(token + token, block):
            yield bytes.fromhex(code), bytes.fromhex(signs)
    for block in re.findall(r"beginbfrange(.*?)endbfrange", text, re.S):
        for first, last, signs, many in re.findall(token + token + r"(?:" + token + r"|\s*\[(.*?)\])", block, re.S):
            several = re.findall(token, many)
            for k in range(int(last, 16) - int(first, 16) + 1):
                code = (int(first, 16) + k).to_bytes(len(first) // 2, "big")
                value = several[k] if many else f"{int(signs, 16) + k:0{len(signs)}x}"
                yield code, bytes.fromhex(value)


@check("ISO 19005-2, 6.2.11.7 and 6.2.11.8; ISO 14289-1, 7.2: for everything that is written the file says which signs it is, and which shape")
def signs(paper, wrong):
    n, used = 0, {}
    for one in paper.contents:
        for font, codes in one.codes.items():
            used.setdefault(font, set()).update(codes)
    for at, codes in used.items():
        font = paper.pdf.get_object(at)
        stream = font.get("/ToUnicode")
        if not isinstance(stream, Stream):
            wrong(f"{font.get('/BaseFont')} has no way back to signs")
            continue
        known = dict(units(stream.read_bytes()))
        for code in sorted(codes):
            n += 1
            if known.get(code, b"") in (b"", b"\0\0", b"\xfe\xff", b"\xff\xfe"):
                wrong(f"{font.get('/BaseFont')}: nobody knows which sign {code.hex()} is")
            if not any(code):
                wrong(f"{font.get('/BaseFont')}: a sign without a shape is drawn")
    return n


@check("ISO 19005-2, 6.1.3: nothing is encrypted")
def encryption(paper, wrong):
    if paper.pdf.is_encrypted or "/Encrypt" in paper.pdf.trailer:
        wrong("the file is encrypted")
    return 1


@check("ISO 19005-2, 6.5.1 and 6.5.2: nothing happens but going to a page, and nothing by itself; no script")
def actions(paper, wrong):
    for thing in paper.everything:
        for key in ("/JS", "/JavaScript", "/AA", "/OpenAction"):
            if key in thing:
                wrong(f"object {thing.objgen[0]} has {key}")
        # /A of an element are its attributes; /Next is also what follows in an outline, which does nothing.
        for action in [] if thing.get("/Type") == "/StructElem" else listed(thing.get("/A")) + listed(thing.get("/Next")):
            if isinstance(action, Dictionary) and action.get("/S", "/GoTo") != "/GoTo":
                wrong(f"object {thing.objgen[0]} does {action.S}")
    return len(paper.everything)


@check("ISO 19005-2, 6.8 allows archival files in a file; this one has none")
def attached(paper, wrong):
    for thing in paper.everything:
        for key in ("/EF", "/EmbeddedFiles", "/AF"):
            if key in thing:
                wrong(f"object {thing.objgen[0]} has {key}")
        if thing.get("/Type") == "/EmbeddedFile" or thing.get("/Subtype") == "/FileAttachment":
            wrong(f"object {thing.objgen[0]} is a file in the file")
    return len(paper.everything)


@check("ISO 19005-2, 6.1.7: no stream lies outside of the file. ISO 14289-1, 7.20: no page of another file is drawn")
def outside(paper, wrong):
    streams = [thing for thing in paper.everything if isinstance(thing, Stream)]
    for stream in streams:
        for key in ("/F", "/FFilter", "/FDecodeParms", "/Ref"):
            if key in stream:
                wrong(f"stream {stream.objgen[0]} has {key}")
    return len(streams)


@check("ISO 19005-2, 6.1.7: streams are packed by a method that the standard lists, LZW excepted")
def filters(paper, wrong):
    allowed = {"ASCIIHexDecode", "ASCII85Decode", "FlateDecode", "RunLengthDecode", "CCITTFaxDecode", "JBIG2Decode", "DCTDecode", "JPXDecode"}
    streams = [thing for thing in paper.everything if isinstance(thing, Stream)]
    for stream in streams:
        for one in listed(stream.get("/Filter")):
            if bare(one) not in allowed:
                wrong(f"stream {stream.objgen[0]} is packed by {one}")
    return len(streams)


@check("ISO 32000-1, 12.3.3: the outline's items have titles, know what is before and above them, and count what is below")
def outline(paper, wrong):
    found = list(paper.items())
    if not found:
        wrong("no outline")
    below = {}
    for item, above in found:
        below.setdefault(above.objgen, []).append(item)
        if not str(item.get("/Title", "")).strip():
            wrong(f"outline item {item.objgen[0]} has no title")
        if item.get("/Parent") is None or item.Parent.objgen != above.objgen:
            wrong(f"outline item {item.objgen[0]} names another parent than the one it hangs from")
    for at, items in below.items():
        node = paper.pdf.get_object(at)
        if node.get("/Last") is None or node.Last.objgen != items[-1].objgen:
            wrong(f"outline {at[0]}: its last item is another")
        for before, item in zip([None, *items], items):
            named = item.get("/Prev")
            if (named and named.objgen) != (before and before.objgen):
                wrong(f"outline item {item.objgen[0]}: another item is before it")
        if abs(int(node.get("/Count", 0))) not in (len(items), sum(1 for _ in paper.items(node))):
            wrong(f"outline {at[0]} counts {node.get('/Count')} items and has {len(items)}")
    return len(found)


@check("ISO 32000-1, 12.3.2: every way leads to a page of this file")
def goals(paper, wrong):
    n = 0
    for who, goal in paper.goals():
        n += 1
        page = goal[0] if isinstance(goal, Array) and len(goal) else None
        if not isinstance(page, Dictionary) or page.objgen not in paper.number:
            wrong(f"{who} leads to no page")
    return n


def checked(path):
    """What every check looked at and found."""
    paper, out = Paper(path), {}
    for name, (_, function) in CHECKS.items():
        wrong = []
        seen = function(paper, wrong.append)
        out[name] = {"seen": seen, "wrong": wrong}
    return out


if __name__ == "__main__":
    json.dump(checked(sys.argv[1]), sys.stdout)
