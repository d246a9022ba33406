"""Each item in a form that its format and profile carry: as it is, or what stands in for it.

A stand-in keeps the identifier of the item it stands for, so that results lead back to the item
that a person signed.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, fields, replace

from exporters.census import for_the_least_residue, naming, refusal
from exporters.release import Group, Profile, Release, lots
from itembank.forms import form_of
from itembank.forms.order import paired
from itembank.values.item import Item
from itembank.values.vocabulary import PLAIN_FORMS
from itembank.values.worded import worded


@dataclass(frozen=True, kw_only=True)
class _StandIn(Item):
    """An item under the identifier of another."""

    stands_for: str

    @property
    def identifier(self) -> str:
        return self.stands_for


def _stand_in(item: Item, changed: Item) -> _StandIn:
    values = {f.name: getattr(changed, f.name) for f in fields(Item)}
    return _StandIn(**values, stands_for=item.identifier)


@dataclass(frozen=True)
class _Fitted:
    """The items of a group, each fitted when it is read."""

    items: Iterable[Item]
    format: str
    forms: Collection[str]
    profile: Profile
    by_places: bool

    def __iter__(self) -> Iterator[Item]:
        for item in self.items:
            with naming(self.format, item):
                fitting = fitted(item, self.forms, self.profile)
            yield placed(fitting) if self.by_places else fitting

    def lots(self, n: int) -> Iterator[Iterable[Item]]:
        return (replace(self, items=lot) for lot in lots(self.items, n))


def fitted(item: Item, forms: Collection[str], profile: Profile) -> Item:
    """The item, or what stands in for it; ExportError where nothing declared does.

    `forms` are those that the format carries.  The plain profile holds to PLAIN_FORMS and asks
    for the one answer that the correct response states, so that a platform that reads nothing
    else grades alike.
    """
    allowed = [form for form in forms if profile == "full" or form in PLAIN_FORMS]
    found = item
    if item.response.form not in allowed:
        if item.plain is None or item.plain.response.form not in allowed:
            raise refusal(
                worded("the form {form}", form=item.response.form),
                worded("declare a substitute for it in the family"),
            )
        found = _stand_in(item, item.plain)
    if profile == "full":
        return found
    if found.scoring.rule != "all or nothing":
        raise refusal(
            worded("{rule} scoring in the plain profile", rule=found.scoring.rule),
            worded("use all or nothing"),
        )
    least = form_of(found.response).least(found.response)
    if least is None:
        return found
    response, stem = least
    return _stand_in(item, replace(found, stem=for_the_least_residue(stem), response=response))


def placed(item: Item) -> Item:
    """An item of which some lines are spare as one in which each is matched with its place."""
    changed = paired(item)
    return item if changed is item else _stand_in(item, changed)


def fitted_release(
    release: Release,
    format: str,
    forms: Collection[str],
    profile: Profile,
    by_places: bool = False,
) -> Release:
    """The release with each item in a form that the format and the profile carry.

    In the plain profile each part of a question is an item: one entry, or one choice.
    """

    def group(g: Group) -> Group:
        return replace(g, items=_Fitted(g.items, format, forms, profile, by_places))

    return replace(
        release,
        groups=tuple(map(group, release.groups)),
        in_one=release.in_one and profile == "full",
    )
