"""The response forms: a file a form, a record a file; this is the table.

Who needs to know something of a form asks its record: the packet, the bank, results that come
back, the check of a key before it is written. Composing an item in a form
(`pipeline.compose`) and writing it in a format (`exporters`) are their own files.
"""

from itembank.forms import (
    guided,
    integer,
    list,
    match,
    order,
    select_all,
    select_one,
    set,
    true_or_false,
)
from itembank.forms.base import AnyForm, Form
from itembank.values.item import Response

__all__ = ["FORMS", "AnyForm", "Form", "form_of"]

FORMS: dict[str, AnyForm] = {
    module.FORM.name: module.FORM
    for module in (
        select_all,
        select_one,
        integer,
        list,
        set,
        true_or_false,
        order,
        match,
        guided,
    )
}
"""The record of each form by its name in the vocabulary."""


def form_of(response: Response) -> AnyForm:
    """The record of the form that a response has."""
    return FORMS[response.form]
