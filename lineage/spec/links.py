"""Does what a design says refer to things that are there?

References are checked against all choices, fitted or not. Rings of things that are behind each other are found
where ways in are worked out; here only what is behind itself.
"""

from collections.abc import Collection, Iterable
from collections.abc import Mapping as MappingOf

from lineage.problems import Level, Place, Problem, in_order, nearest
from lineage.spec.assembly import Spec, stock_of
from lineage.spec.records import BuildRef, Design, Family, FastenerGroup, Fit, Part, Path, Stock
from lineage.spec.references import (
    Holder,
    Lookup,
    References,
    Target,
    contents_of,
    holders,
    parts_of,
    uses_of,
)
from lineage.values.quantity import ChainTerm, Dimension


def check_links(
    spec: Spec, lookup: Lookup, known_materials: Collection[str], known_designs: Iterable[str] = ()
) -> tuple[Problem, ...]:
    """What in a design refers to nothing.

    `lookup` gives the state of a module, None where there is none or it cannot be read; `known_materials` are the
    built-in ones; `known_designs` (names, or `DESIGN@LABEL`) are offered where a build is not
    found.
    """
    links = _Links(spec, lookup, tuple(known_designs))
    links.check_names()
    links.check_modules()
    links.check_options()
    links.check_class()
    links.check_stock({*known_materials, *spec.family.materials})
    links.check_references()
    links.check_fits()
    return in_order(links.problems)


def check_family(family: Family, known_materials: Collection[str]) -> tuple[Problem, ...]:
    """What in family.yaml refers to nothing: `like`, and materials that are nearly those of the table."""
    problems = []
    for name, material in family.materials.items():
        if material.like is not None and material.like not in known_materials:
            near = nearest(material.like, known_materials)
            problems.append(
                _problem(
                    family.places.get(("materials", name, "like")),
                    "unknown-like",
                    f"`{material.like}` is no built-in material",
                    "a material of the built-in table",
                    _offer(near, "give its density instead"),
                )
            )
    known = {*known_materials, *family.materials}
    for name, stock in family.stock.items():
        problems += _material_problems(stock, family.places.get(("stock", name, "material")), known)
    return in_order(problems)


def _problem(
    place: Place | None, code: str, what: str, wanted: str, mend: str, level: Level = "error"
) -> Problem:
    return Problem(
        place=place or Place("", 1, 1), code=code, what=what, wanted=wanted, mend=mend, level=level
    )


def _offer(near: str | None, otherwise: str) -> str:
    return f"write `{near}`" if near else otherwise


def _material_problems(stock: Stock, place: Place | None, known: Collection[str]) -> list[Problem]:
    """An unknown material: an error where its density is needed, else said when it looks like a slip."""
    if stock.material in known:
        return []
    near = nearest(stock.material, known)
    needed = stock.density is None and stock.areal is None and stock.linear is None
    if not needed and near is None:
        return []
    what = f"`{stock.material}` is no material of the built-in table or of the family"
    mend = _offer(near, "give a `density`, or add it to `materials` in family.yaml")
    return [
        _problem(place, "unknown-material", what, "a known material", mend, "error" if needed else "warning")
    ]


class _Links:
    """One design and what it refers to."""

    def __init__(self, spec: Spec, lookup: Lookup, known_designs: tuple[str, ...]) -> None:
        self.spec, self.known_designs = spec, known_designs
        self.design = spec.design
        self.references = References(spec, lookup)
        self.problems: list[Problem] = []

    def tell(
        self, path: Path, code: str, what: str, wanted: str, mend: str, *, level: Level = "error"
    ) -> None:
        """Note a problem at the nearest place that is known."""
        self.problems.append(_problem(self.place(path), code, what, wanted, mend, level))

    def place(self, path: Path) -> Place:
        """The place of a key, or of what is around it."""
        while path and path not in self.design.places:
            path = path[:-1]
        return self.design.places.get(path) or Place(self.spec.file, 1, 1)

    # --- names and modules -------------------------------------------------------------------------------

    def check_names(self) -> None:
        """Parts, places and groups share one namespace, all choices included."""
        first: dict[str, Path] = {}
        for path, holder in holders(self.design):
            for kind in ("parts", "modules", "fasteners"):
                for name in getattr(holder, kind):
                    at = (*path, kind, name)
                    if name in first:
                        line = self.place(first[name]).line
                        what = f"`{name}` is the name of another thing too, in line {line}"
                        self.tell(at, "double-name", what, "one name a thing, those of all choices included",
                                  "give one of the two another name")  # fmt: skip
                    first.setdefault(name, at)

    def check_modules(self) -> None:
        """The builds that are used exist, are modules, and do not lead back here."""
        for path, use in uses_of(self.design):
            module = self.references.module(use.use)
            at = (*path, "use")
            if module is None:
                self.unknown_build(at, use.use, "error")
            elif module.design.kind != "module":
                what = f"{use.use} is a robot"
                self.tell(at, "not-a-module", what, "a build of a module", "make what both use a module")
            elif ring := self.references.ring(module, (self.spec.ref.design,)):
                what = f"modules go round in a circle: {' → '.join(ring)}"
                self.tell(
                    at, "module-ring", what, "no module that has itself inside", "take one of these uses out"
                )
        if self.design.from_ is not None and self.references.module(self.design.from_) is None:
            self.unknown_build(("from",), self.design.from_, "warning")

    def unknown_build(self, path: Path, ref: BuildRef, level: Level) -> None:
        """Note that there is no such build, with the nearest that there is."""
        designs = {known.partition("@")[0] for known in self.known_designs}
        near = nearest(str(ref), [known for known in self.known_designs if "@" in known])
        if ref.design in designs or not designs:
            mend = _offer(near, f"record it, or name a build of {ref.design} that there is")
        else:
            design = nearest(ref.design, designs)
            mend = _offer(near or (design and f"{design}@{ref.label}"), "name a design that there is")
        self.tell(path, "unknown-build", f"there is no {ref} that can be read", "a build that there is", mend,
                  level=level)  # fmt: skip

    # --- options, class, stock ---------------------------------------------------------------------------

    def check_options(self) -> None:
        """Every option has a fitted choice, and what is fitted exists; in modules too."""
        for option in self.design.options:
            if option not in self.design.fitted:
                choices = ", ".join(self.design.options[option])
                self.tell(("options", option), "not-fitted", f"nothing says which choice of `{option}` is in",
                          f"`fitted: {{{option}: …}}` with one of {choices}", "add it to `fitted`")  # fmt: skip
        self.check_fitted(("fitted",), self.design.fitted, self.design)
        for path, use in uses_of(self.design):
            module = self.references.module(use.use)
            if module is not None:
                self.check_fitted((*path, "fitted"), use.fitted, module.design)

    def check_fitted(self, path: Path, fitted: MappingOf[str, str], design: Design) -> None:
        """Options and choices that are named are those of the design."""
        for option, choice in fitted.items():
            choices = design.options.get(option)
            if choices is None:
                what = f"{design.name} has no option `{option}`"
                mend = _offer(nearest(option, design.options), "delete it")
                self.tell((*path, option), "unknown-option", what, _one_of(design.options), mend)
            elif choice not in choices:
                what = f"`{option}` of {design.name} has no choice `{choice}`"
                mend = _offer(nearest(choice, choices), "write one of these")
                self.tell((*path, option), "unknown-choice", what, _one_of(choices), mend)

    def check_class(self) -> None:
        """The class is one of the family's."""
        name, classes = self.design.class_, self.spec.family.classes
        if name is not None and name not in classes:
            mend = _offer(nearest(name, classes), "add it to `classes` in family.yaml")
            self.tell(
                ("class",), "unknown-class", f"the family has no class `{name}`", _one_of(classes), mend
            )

    def check_stock(self, materials: Collection[str]) -> None:
        """Stocks are known, of known materials, and have what their parts need."""
        for name, stock in self.design.stock.items():
            at = self.place(("stock", name, "material"))
            self.problems += _material_problems(stock, at, materials)
        for path, part in parts_of(self.design):
            if part.stock is None:
                continue
            stock_of_part = stock_of(self.spec, part.stock)
            if stock_of_part is None:
                known = {*self.design.stock, *self.spec.family.stock}
                mend = _offer(nearest(part.stock, known), "add it to `stock` here or in family.yaml")
                what = f"neither this design nor the family has the stock `{part.stock}`"
                self.tell((*path, "stock"), "unknown-stock", what, _one_of(known), mend)
            else:
                self.check_stock_of(path, part, stock_of_part.stock)

    def check_stock_of(self, path: Path, part: Part, stock: Stock) -> None:
        """A sheet part needs thickness and density, or areal; a bar part section and density, or linear."""
        lacks = _lacks(part, stock)
        if not lacks and self.needs_density(part, stock):
            lacks = "a density: its material has none"
        if lacks:
            wanted = "`section` or `linear`" if part.length is not None else "`thickness` or `areal`"
            self.tell((*path, "stock"), "stock-lacks", f"the stock `{part.stock}` lacks {lacks}",
                      f"{wanted}, and a density", "add it to the stock, or name another stock")  # fmt: skip

    def needs_density(self, part: Part, stock: Stock) -> bool:
        """Whether a density is wanted that a material of the family's own does not give."""
        own = self.spec.family.materials.get(stock.material)
        given = stock.linear if part.length is not None else stock.areal
        no_density = own is not None and own.density is None and own.like is None
        return given is None and stock.density is None and no_density

    # --- references --------------------------------------------------------------------------------------

    def check_references(self) -> None:
        """Everything that names a thing names one that is there."""
        for path, holder in holders(self.design):
            self.check_contents(path, holder)
        for name, bay in self.design.bays.items():
            self.check_holds(("bays", name), f"the bay `{name}`", bay.holds)
        for ref, ways in self.design.access.items():
            self.check_ref(("access", ref), ref)
            for number, way in enumerate(ways):
                self.check_undo(("access", ref, number, "undo"), ref, way.undo)
                self.check_behind(("access", ref, number, "behind"), ref, way.behind)

    def check_contents(self, path: Path, holder: Holder) -> None:
        """References of the things of a design or of a choice."""
        for name, part in holder.parts.items():
            self.check_behind((*path, "parts", name, "behind"), name, part.behind)
        for name, use in holder.modules.items():
            self.check_behind((*path, "modules", name, "behind"), name, use.behind)
        for name, group in holder.fasteners.items():
            at = (*path, "fasteners", name)
            self.check_holds(at, f"the group `{name}`", group.holds)
            self.check_refs((*at, "into"), group.into)
            self.check_behind((*at, "behind"), name, group.behind)

    def check_holds(self, path: Path, what: str, refs: tuple[str, ...]) -> None:
        """Something is held, and it exists."""
        if not refs:
            self.tell((*path, "holds"), "holds-nothing", f"{what} holds nothing", "one reference at least",
                      "name what it holds")  # fmt: skip
        self.check_refs((*path, "holds"), refs)

    def check_behind(self, path: Path, name: str, refs: tuple[str, ...]) -> None:
        """What a thing is behind exists, and is neither the thing itself nor anything in it."""
        for number, ref in enumerate(refs):
            target = self.check_ref((*path, number), ref)
            own_option = target is not None and target.what is None and self.is_of_option(name, ref)
            if ref == name or ref.startswith(f"{name}.") or own_option:
                self.tell((*path, number), "behind-itself", f"`{name}` is said to be behind `{ref}`",
                          "what has to come off before it", "delete it")  # fmt: skip

    def check_undo(self, path: Path, name: str, refs: tuple[str, ...]) -> None:
        """What a way undoes exists, and is neither the thing that it frees nor a thing in it; screws in it may be."""
        for number, ref in enumerate(refs):
            target = self.check_ref((*path, number), ref)
            is_thing = target is not None and not isinstance(target.what, FastenerGroup)
            if is_thing and (ref == name or ref.startswith(f"{name}.")):
                self.tell((*path, number), "behind-itself", f"the way that frees `{name}` undoes `{ref}`",
                          "what has to come off or be undone before it", "delete it")  # fmt: skip

    def is_of_option(self, name: str, option: str) -> bool:
        """Whether a thing belongs to a choice of an option."""
        return any(name in contents_of(choice) for choice in self.design.options.get(option, {}).values())

    def check_refs(self, path: Path, refs: Iterable[str]) -> None:
        """All of a list exist."""
        for number, ref in enumerate(refs):
            self.check_ref((*path, number), ref)

    def check_ref(self, path: Path, ref: str) -> Target | None:
        """What a reference names; where it names nothing that is told."""
        found = self.references.resolve(ref)
        if isinstance(found, Target):
            return found
        if found.known is not None:
            inside = f"`{found.before}`" if found.before else self.design.name
            near = nearest(found.step, found.known)
            meant = near and (f"{found.before}.{near}" if found.before else near)
            mend = _offer(meant or self.meant(ref), "name a part, a place, a group or an option")
            what = f"{inside} has nothing called `{found.step}`"
            self.tell(path, "unknown-ref", what, "a thing that is there", mend)
        return None

    def meant(self, ref: str) -> str | None:
        """The reference that was probably meant: one that ends so, else the nearest."""
        known = self.references.all_references()
        return next((other for other in known if other.endswith(f".{ref}")), None) or nearest(ref, known)

    # --- fits --------------------------------------------------------------------------------------------

    def check_fits(self) -> None:
        """Terms of chains name dimensions that are there, all of one kind."""
        for name, fit in self.design.fits.items():
            path: Path = ("fits", name, "chain")
            if not fit.chain:
                self.tell(path, "holds-nothing", f"the chain of `{name}` has no terms", "one term at least",
                          "name the dimensions that make the gap")  # fmt: skip
            wanted = _dimension_of_need(fit)
            for number, term in enumerate(fit.chain):
                dimension = self.dimension_of(term, (*path, number))
                if dimension is not None and dimension != wanted:
                    what = (
                        f"`{term.text}` is {_with_article(dimension)}, and the need {_with_article(wanted)}"
                    )
                    self.tell((*path, number), "wrong-unit", what, "lengths only, or angles only",
                              "make two fits of it")  # fmt: skip

    def dimension_of(self, term: ChainTerm, path: Path) -> Dimension | None:
        """Whether a term is a length or an angle; None where that was told or cannot be known."""
        if term.literal is not None:
            return term.literal.dimension
        assert term.ref is not None
        assert term.dim is not None
        target = self.check_ref(path, term.ref)
        if target is None:
            return None
        dims = self.references.dims_of(target, term.ref)
        if dims is None:
            self.tell(path, "unknown-dim", f"`{term.ref}` is no part", "the dimension of a part",
                      "name the part and its dimension")  # fmt: skip
        elif term.dim not in dims:
            known = ", ".join(dims) or "none"
            mend = _offer(nearest(term.dim, dims), f"add `{term.dim}` to its `dims`")
            what = f"`{term.ref}` has no dimension `{term.dim}`"
            self.tell(path, "unknown-dim", what, f"one of its dimensions: {known}", mend)
        return dims.get(term.dim) if dims is not None else None


def _one_of(names: Iterable[str]) -> str:
    known = sorted(names)
    return f"one of: {', '.join(known)}" if known else "none: there are none"


def _lacks(part: Part, stock: Stock) -> str:
    if part.length is not None:
        return "a section" if stock.section is None and stock.linear is None else ""
    return "a thickness" if stock.thickness is None and stock.areal is None else ""


def _dimension_of_need(fit: Fit) -> Dimension:
    limit = fit.need.low or fit.need.high
    return limit.dimension if limit is not None else "length"


def _with_article(dimension: Dimension) -> str:
    return f"an {dimension}" if dimension[0] in "aeiou" else f"a {dimension}"
