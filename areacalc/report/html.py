"""HTML from a template: whatever goes into it is escaped last, as it is put in."""


def filled(template: str, **values: object) -> str:
    """The template with the values in it, each escaped; one that is missing is a fault.

    >>> filled("<h1>{{ name }}</h1>", name="<pen> & cap")
    '<h1>&lt;pen&gt; &amp; cap</h1>'
    """
    from jinja2 import Environment, StrictUndefined

    made = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, keep_trailing_newline=True)
    return made.from_string(template).render(**values)
