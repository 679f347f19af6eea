"""Reading drawings back: well-formed, named, without anything a strict policy would refuse."""

import re
import xml.etree.ElementTree as ElementTree


def parsed(svg: str) -> ElementTree.Element:
    """The drawing as a tree, after the checks that every drawing has to pass."""
    root = ElementTree.fromstring(svg)
    for element in root.iter():
        assert element.tag != "script" and element.tag != "style"
        for name, value in element.attrib.items():
            assert name != "style" and not name.startswith("on")
            assert "http" not in value and "javascript" not in value
            assert "nan" not in value.lower().split() and "inf" not in value.lower().split()
    drawings = [each for each in root.iter() if each.tag == "svg"]
    assert drawings
    for each in drawings:
        named = each.get("role") == "img" and (each.findtext("title") or "").strip()
        assert named or each.get("aria-hidden") == "true"
    return root


def numbers(data: str) -> list[float]:
    """All numbers of a path."""
    return [float(each) for each in re.findall(r"-?\d+\.?\d*", data)]


def of_class(root: ElementTree.Element, kind: str) -> list[ElementTree.Element]:
    return [each for each in root.iter() if kind in each.get("class", "").split()]


def said(root: ElementTree.Element) -> str:
    return root.findtext("title") or ""
