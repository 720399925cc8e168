"""Tries every check of paper.py on files that are damaged for it: a check that never fails is none.

Run by tests/it/paper.rs in a virtual environment with pikepdf. paper_damage.py FILE FOLDER writes FOLDER/DAMAGE.pdf for every
damage and prints which check was to report it and what each check reports; FOLDER/rewritten.pdf is the file as pikepdf writes it
without any damage. paper_damage.py FILE OUT DAMAGE... writes one file with the damages that are named, and checks nothing.
"""

import json
import re
import sys
from pathlib import Path

import pikepdf
from paper import checked, listed
from pikepdf import Array, Dictionary, Name, Pdf, Stream, String

DAMAGES = {}


def damage(*checks):
    """A damage takes the file, alters it, and is to be reported by these checks and no other."""

    def named(function):
        DAMAGES[function.__name__] = (set(checks), function)
        return function

    return named


def elements(pdf, kind):
    return [
        thing
        for thing in pdf.objects
        if isinstance(thing, Dictionary) and thing.get("/Type") == "/StructElem" and thing.get("/S") == f"/{kind}"
    ]


def links(pdf):
    return [(page, link) for page in pdf.pages for link in listed(page.obj.get("/Annots"))]


def fonts(pdf):
    return [thing for thing in pdf.objects if isinstance(thing, Dictionary) and thing.get("/Subtype") == "/Type0"]


def parents(pdf):
    """The parent tree as pairs of key and value; it is flat in our files."""
    return pdf.Root.StructTreeRoot.ParentTree.Nums


def row_of(pdf, page):
    numbers = parents(pdf)
    return numbers[next(k for k in range(0, len(numbers), 2) if numbers[k] == page.obj.StructParents) + 1]


def rewrite(stream, pattern, by):
    """Puts something else in a stream, where it stands first; it must be there."""
    old = stream.read_bytes()
    new, n = re.subn(pattern, by, old, count=1, flags=re.S)
    assert n == 1 and new != old, pattern
    stream.write(new)


def drop(holder, key):
    """Takes a key away; it must be there."""
    del holder[key]


@damage("claims")
def another_part(pdf):
    rewrite(pdf.Root.Metadata, rb"<pdfaid:part>2<", b"<pdfaid:part>1<")


@damage("claims")
def a_lower_level(pdf):
    rewrite(pdf.Root.Metadata, rb"<pdfaid:conformance>A<", b"<pdfaid:conformance>B<")


@damage("claims")
def no_claim_of_access(pdf):
    rewrite(pdf.Root.Metadata, rb"<pdfuaid:part>1</pdfuaid:part>", b"")


@damage("claims")
def no_metadata(pdf):
    drop(pdf.Root, "/Metadata")


@damage("title")
def no_title(pdf):
    rewrite(pdf.Root.Metadata, rb"<dc:title>.*?</dc:title>", b"")


@damage("intent")
def no_intent(pdf):
    drop(pdf.Root, "/OutputIntents")


@damage("intent")
def no_profile(pdf):
    drop(pdf.Root.OutputIntents[0], "/DestOutputProfile")


@damage("intent")
def half_a_profile(pdf):
    profile = pdf.Root.OutputIntents[0].DestOutputProfile
    profile.write(profile.read_bytes()[:240])


@damage("intent")
def a_profile_for_other_inks(pdf):
    pdf.Root.OutputIntents[0].DestOutputProfile.N = 4


@damage("marked")
def not_marked(pdf):
    pdf.Root.MarkInfo.Marked = False


@damage("marked")
def suspect(pdf):
    pdf.Root.MarkInfo.Suspects = True


@damage("marked")
def no_word_of_marks(pdf):
    drop(pdf.Root, "/MarkInfo")


@damage("language")
def no_language(pdf):
    drop(pdf.Root, "/Lang")


@damage("language")
def no_such_language(pdf):
    elements(pdf, "Document")[0].Lang = String("as it is spoken here")


@damage("window")
def the_file_name_in_the_window(pdf):
    pdf.Root.ViewerPreferences.DisplayDocTitle = False


@damage("window")
def no_word_of_the_window(pdf):
    drop(pdf.Root, "/ViewerPreferences")


@damage("tree")
def no_tree(pdf):
    drop(pdf.Root, "/StructTreeRoot")


@damage("tree")
def an_element_beside_the_tree(pdf):
    stray = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name.P, P=pdf.Root.StructTreeRoot))
    pdf.Root.StructTreeRoot.IDTree = Dictionary(Names=Array([String("stray"), stray]))


@damage("tree")
def an_element_twice(pdf):
    paragraph = elements(pdf, "P")[0]
    paragraph.P.K.append(paragraph)


@damage("tree")
def another_parent(pdf):
    elements(pdf, "P")[0].P = elements(pdf, "Sect")[-1]


@damage("tree")
def an_element_without_a_type(pdf):
    drop(elements(pdf, "P")[0], "/Type")


@damage("tree")
def a_kind_that_nobody_knows(pdf):
    elements(pdf, "P")[0].S = Name.Story


@damage("tree")
def a_standard_kind_mapped(pdf):
    pdf.Root.StructTreeRoot.RoleMap.Caption = Name.P


@damage("numbers")
def a_number_that_nobody_has(pdf):
    paragraph = next(one for one in elements(pdf, "P") if len(one.K) > 1)
    del paragraph.K[0]


@damage("numbers")
def a_number_that_two_have(pdf):
    paragraph = elements(pdf, "P")[0]
    other = next(one for one in elements(pdf, "Caption") if one.Pg.objgen == paragraph.Pg.objgen)
    other.K.append(paragraph.K[0])


@damage("numbers")
def a_number_that_is_not_drawn(pdf):
    paragraph = elements(pdf, "P")[0]
    paragraph.K.append(99999)


@damage("numbers")
def a_number_drawn_as_another(pdf):
    rewrite(pdf.pages[1].Contents, rb"/MCID 0\b", b"/MCID 99999")


@damage("numbers")
def a_number_drawn_twice(pdf):
    rewrite(pdf.pages[1].Contents, rb"/MCID 1\b", b"/MCID 0")


@damage("numbers")
def the_parent_tree_leads_elsewhere(pdf):
    row = row_of(pdf, pdf.pages[1])
    row[0] = elements(pdf, "Document")[0]


@damage("numbers")
def the_parent_tree_leads_nowhere(pdf):
    row_of(pdf, pdf.pages[1])[0] = None


@damage("numbers")
def a_page_without_a_key(pdf):
    drop(pdf.pages[1].obj, "/StructParents")


@damage("numbers")
def two_pages_with_one_key(pdf):
    pdf.pages[1].obj.StructParents = pdf.pages[2].obj.StructParents


@damage("numbers")
def a_page_that_the_parent_tree_lost(pdf):
    numbers = parents(pdf)
    k = next(k for k in range(0, len(numbers), 2) if numbers[k] == pdf.pages[1].obj.StructParents)
    del numbers[k : k + 2]


@damage("content")
def something_drawn_beside_all(pdf):
    rewrite(pdf.pages[1].Contents, rb"\A", b"0 0 9 9 re f ")


@damage("content")
def words_that_are_no_artifact_any_more(pdf):
    rewrite(pdf.pages[1].Contents, rb"/Artifact\s*<<[^>]*>>\s*BDC(.*?)EMC", rb"\1")


@damage("content")
def marked_and_neither(pdf):
    rewrite(pdf.pages[1].Contents, rb"/Artifact\s*<<[^>]*>>\s*BDC", b"/Span <</Lang(en)>> BDC")


@damage("content")
def an_artifact_in_a_paragraph(pdf):
    rewrite(pdf.pages[1].Contents, rb"(/MCID 0\b[^>]*>>\s*BDC)(.*?)EMC", rb"\1 /Artifact BMC \2 EMC EMC")


@damage("content")
def a_paragraph_in_an_artifact(pdf):
    rewrite(pdf.pages[1].Contents, rb"(/\w+\s*<<\s*/MCID 0\b[^>]*>>\s*BDC)(.*?)EMC", rb"/Artifact BMC \1\2 EMC EMC")


@damage("content")
def a_beginning_without_an_end(pdf):
    rewrite(pdf.pages[1].Contents, rb"EMC(\s*)\Z", rb"\1")


@damage("content")
def a_form_drawn(pdf):
    form = Stream(pdf, b"0 0 9 9 re f", Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 9, 9])
    page = pdf.pages[1]
    name = page.add_resource(pdf.make_indirect(form), Name.XObject)
    rewrite(page.Contents, rb"\A", f"/Artifact BMC {name} Do EMC ".encode())


@damage("headings")
def a_level_skipped(pdf):
    elements(pdf, "H2")[0].S = Name.H3


@damage("headings")
def no_first_level(pdf):
    elements(pdf, "H1")[0].S = Name.H2


@damage("headings")
def a_heading_without_a_level(pdf):
    elements(pdf, "H4")[0].S = Name.H


@damage("figures")
def a_figure_without_words(pdf):
    drop(elements(pdf, "Figure")[0], "/Alt")


@damage("figures")
def a_figure_with_blanks_for_words(pdf):
    elements(pdf, "Figure")[-1].Alt = String("  ")


@damage("boxes")
def a_figure_without_a_box(pdf):
    drop(elements(pdf, "Figure")[0].A[0], "/BBox")


@damage("boxes")
def a_figure_beside_its_page(pdf):
    elements(pdf, "Figure")[0].A[0].BBox[2] = 4000


@damage("rows")
def a_cell_less(pdf):
    """The words of the last cell move to the one before it, so that nothing else is amiss."""
    row = next(one for one in elements(pdf, "TR") if one.P.S == "/TBody" and all(isinstance(kid, int) for kid in one.K[-1].K))
    last, before = row.K[-1], row.K[-2]
    leads = row_of(pdf, next(page for page in pdf.pages if page.obj.objgen == last.Pg.objgen))
    for mark in last.K:
        before.K.append(mark)
        leads[mark] = before
    del row.K[len(row.K) - 1]


@damage("rows")
def a_cell_wider_than_it_is(pdf):
    elements(pdf, "TD")[0].A = Dictionary(O=Name.Table, ColSpan=2)


@damage("rows")
def a_cell_below_its_table(pdf):
    last = [one for one in elements(pdf, "TR")][-1]
    table = last.P.P
    row = table.K[-1].K[-1]
    row.K[-1].A = Dictionary(O=Name.Table, RowSpan=2)


@damage("heads")
def a_table_without_heads(pdf):
    for cell in elements(pdf, "Table")[0].K[1].K[0].K:
        cell.S = Name.TD


@damage("heads")
def a_head_of_nothing(pdf):
    drop(elements(pdf, "TH")[0].A[0], "/Scope")


@damage("nesting")
def a_paragraph_in_a_list(pdf):
    elements(pdf, "LI")[0].S = Name.P
    for kid in elements(pdf, "L")[0].K[0].K:
        kid.S = Name.Span


@damage("nesting")
def a_label_after_its_words(pdf):
    item = next(one for one in elements(pdf, "LI") if len(one.K) == 2)
    item.K = Array([item.K[1], item.K[0]])


@damage("nesting")
def rows_that_lie_in_a_section(pdf):
    elements(pdf, "Table")[0].S = Name.Sect


@damage("link_words")
def a_link_without_words(pdf):
    drop(links(pdf)[0][1], "/Contents")


@damage("links")
def a_link_that_leads_to_no_element(pdf):
    drop(links(pdf)[0][1], "/StructParent")


@damage("links")
def a_link_that_no_element_names(pdf):
    element = next(one for one in elements(pdf, "Link"))
    element.K = Array([kid for kid in element.K if isinstance(kid, int)])


@damage("links")
def a_link_in_something_else(pdf):
    elements(pdf, "Link")[0].S = Name.Span


@damage("links")
def a_link_that_leads_to_another_element(pdf):
    numbers, link = parents(pdf), links(pdf)[0][1]
    k = next(k for k in range(0, len(numbers), 2) if numbers[k] == link.StructParent)
    numbers[k + 1] = elements(pdf, "Document")[0]


@damage("tabs")
def no_order_of_links(pdf):
    drop(links(pdf)[0][0].obj, "/Tabs")


@damage("tabs")
def links_by_rows(pdf):
    links(pdf)[0][0].obj.Tabs = Name.R


@damage("faces")
def a_face_that_is_not_there(pdf):
    about = fonts(pdf)[0].DescendantFonts[0].FontDescriptor
    drop(about, next(key for key in ("/FontFile2", "/FontFile3") if key in about))


@damage("faces")
def a_face_that_is_none(pdf):
    about = fonts(pdf)[0].DescendantFonts[0].FontDescriptor
    about[next(key for key in ("/FontFile2", "/FontFile3") if key in about)].write(b"no face")


@damage("signs")
def no_way_back_to_signs(pdf):
    drop(fonts(pdf)[0], "/ToUnicode")


@damage("signs")
def a_sign_that_nobody_knows(pdf):
    rewrite(fonts(pdf)[0].ToUnicode, rb"(\d+) beginbfchar\s*<[0-9A-Fa-f]+>\s*<[0-9A-Fa-f]+>", rb"\1 beginbfchar")


@damage("signs")
def a_sign_without_a_shape(pdf):
    rewrite(fonts(pdf)[0].ToUnicode, rb"beginbfchar", b"beginbfchar <0000> <0041>")
    rewrite(pdf.pages[1].Contents, rb"\[\(..", b"[(\0\0")


@damage("encryption")
def locked(_pdf):
    """It is locked when it is saved."""


@damage("actions")
def a_script_when_it_opens(pdf):
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS=String("app.beep()"))


@damage("actions")
def a_script_by_name(pdf):
    script = pdf.make_indirect(Dictionary(S=Name.JavaScript, JS=String("app.beep()")))
    pdf.Root.Names = Dictionary(JavaScript=Dictionary(Names=[String("beep"), script]))


@damage("actions")
def a_page_that_does_something(pdf):
    pdf.pages[0].obj.AA = Dictionary(O=Dictionary(S=Name.Named, N=Name.NextPage))


@damage("actions", "goals")
def a_link_that_starts_a_program(pdf):
    link = links(pdf)[0][1]
    drop(link, "/Dest")
    link.A = Dictionary(S=Name.Launch, F=String("program"))


@damage("attached")
def a_file_in_the_file(pdf):
    pdf.attachments["note.txt"] = b"a note"


@damage("attached")
def a_file_that_belongs_to_it(pdf):
    pdf.Root.AF = Array([])


@damage("outside")
def a_stream_elsewhere(pdf):
    fonts(pdf)[0].ToUnicode.F = String("elsewhere.cmap")


@damage("outside")
def a_page_of_another_file(pdf):
    form = Stream(pdf, b"", Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 9, 9], Ref=Dictionary(F=String("elsewhere.pdf"), Page=0))
    pdf.pages[1].add_resource(pdf.make_indirect(form), Name.XObject)


def lzw(data):
    """LZW that never makes its table longer: each byte by itself, the table cleared in time (ISO 32000-1, 7.4.4)."""
    codes = []
    for at in range(0, len(data), 200):
        codes += [256, *data[at : at + 200]]
    bits = "".join(f"{code:09b}" for code in [*codes, 257])
    bits += "0" * (-len(bits) % 8)
    return int(bits, 2).to_bytes(len(bits) // 8, "big")


@damage("filters")
def packed_by_lzw(pdf):
    stream = fonts(pdf)[0].ToUnicode
    data = stream.read_bytes()
    stream.write(lzw(data), filter=Name.LZWDecode)
    assert stream.read_bytes() == data


@damage("outline")
def no_outline(pdf):
    drop(pdf.Root, "/Outlines")


@damage("outline")
def an_outline_out_of_step(pdf):
    pdf.Root.Outlines.First.Next.Prev = pdf.Root.Outlines.Last


@damage("outline")
def an_outline_with_another_end(pdf):
    pdf.Root.Outlines.Last = pdf.Root.Outlines.First


@damage("outline")
def an_outline_without_a_title(pdf):
    drop(pdf.Root.Outlines.First, "/Title")


@damage("outline")
def an_outline_that_counts_wrongly(pdf):
    pdf.Root.Outlines.Count = 5000


@damage("goals")
def a_link_to_a_page_that_is_not_there(pdf):
    page = links(pdf)[0][0].obj
    gone = pdf.make_indirect(Dictionary(Type=Name.Page, MediaBox=page.MediaBox, Resources=Dictionary()))
    links(pdf)[0][1].Dest = Array([gone, Name.XYZ, 0, 0, 0])


@damage("goals")
def an_outline_to_nowhere(pdf):
    drop(pdf.Root.Outlines.First, "/Dest")


def see_through(pdf):
    """No damage to a file of PDF/A-2, and one to a file of PDF/A-1. Nothing in a dossier is see-through."""
    state = pdf.make_indirect(Dictionary(Type=Name.ExtGState, ca=0.5))
    name = pdf.pages[1].add_resource(state, Name.ExtGState)
    rewrite(pdf.pages[1].Contents, rb"\A", f"{name} gs ".encode())


def eased(pdf):
    """No damage: the file as Preflight can read it, which has two gaps. It does not follow a reference from an item of the
    outline to its destination, and looks for a schema only where it is described apart from what uses it. No standard asks for
    either. Here destinations stand where they are used and schemas are described apart; nothing else is altered."""
    for thing in pdf.objects:
        if isinstance(thing, Dictionary) and isinstance(thing.get("/Dest"), Array):
            thing.Dest = Array(list(thing.Dest))
    rewrite(
        pdf.Root.Metadata,
        rb"(<rdf:Description\b[^>]*>)(.*?)(<pdfaExtension:schemas>.*?</pdfaExtension:schemas>)",
        rb"\1\3</rdf:Description>\1\2",
    )


def saved(path, alter, to):
    with Pdf.open(path) as pdf:
        for one in alter:
            one(pdf)
        if locked in alter:
            pdf.save(to, encryption=pikepdf.Encryption(owner="owner", user=""))
        else:
            # Streams stay packed as they are, so that nothing but the damage differs.
            pdf.save(
                to,
                compress_streams=False,
                stream_decode_level=pikepdf.StreamDecodeLevel.none,
                object_stream_mode=pikepdf.ObjectStreamMode.disable,
                deterministic_id=True,
            )
    return to


def tried(path, folder):
    """What every check reports of every damage."""
    out = []
    for name, (checks, alter) in DAMAGES.items():
        to = saved(path, [alter], folder / f"{name}.pdf")
        found = {check: about["wrong"] for check, about in checked(to).items() if about["wrong"]}
        out.append({"damage": name, "for": sorted(checks), "reported": found})
    return {"rewritten": checked(saved(path, [], folder / "rewritten.pdf")), "tried": out}


if __name__ == "__main__":
    path, to, named = sys.argv[1], Path(sys.argv[2]), sys.argv[3:]
    if named:
        known = {"see_through": see_through, "eased": eased} | {name: alter for name, (_, alter) in DAMAGES.items()}
        saved(path, [known[name] for name in named], to)
    else:
        json.dump(tried(path, to), sys.stdout)
