# make demo        the demo shop, ready to use, on http://127.0.0.1:8000 (PORT, HOST and SHOPREPAIR_DATA choose otherwise)
# make demo-fresh  the same, thrown away and built anew
# make test        every check and every test
#
# Both bring what they need. The rest is for those who work on the code.

PYTHON = .venv/bin/python
MANAGE = $(PYTHON) manage.py
PARTS = .venv/parts/bin

.DEFAULT_GOAL := demo
.PHONY: demo demo-fresh test check unit browser soak test-postgres soak-postgres measure measure-postgres format run pictures icons contact-sheet messages lock parts ready ready-test apart coverage mutants

demo: ready
	@$(MANAGE) demo

demo-fresh: ready
	@$(MANAGE) demo --fresh

test: check unit browser

# Writes nothing: says what is wrong with form, types, migrations and the settings of a shop on the web.
check: ready-test
	$(PYTHON) -m ruff format --check .
	$(PYTHON) -m ruff check .
	$(PYTHON) -m mypy
	$(PYTHON) -m djlint --check templates
	$(MANAGE) makemigrations --check --dry-run
	SHOPREPAIR_DATA=.venv/checked SHOPREPAIR_HTTPS=1 $(MANAGE) check --deploy --fail-level WARNING

unit: ready-test
	$(PYTHON) -m pytest -n 2 --dist loadfile --no-loadscope-reorder -m "not soak" tests --ignore tests/browser

# Three at a time: each waits often, for a page or for the eye of the test.
browser: ready-test
	$(PYTHON) -m pytest -n 3 --dist loadfile -m "not soak" tests/browser

# What takes minutes: kills, torn files and crowds. SHOPREPAIR_SOAK=300 says how many rounds (100 by itself).
soak: ready-test
	$(PYTHON) -m pytest -n 0 -m soak -rP

# The same on a PostgreSQL server of the tests' own (needs one installed; it is started and stopped).
test-postgres: ready-test
	$(PYTHON) -m tests.postgres $(PYTHON) -m pytest -n 2 --dist loadfile --no-loadscope-reorder -m "not soak" tests --ignore tests/browser

soak-postgres: ready-test
	$(PYTHON) -m tests.postgres $(PYTHON) -m pytest -n 0 -m soak -rP tests --ignore tests/browser

# What pages, papers and photos cost, and how it grows with the shop; builds the shops to measure on its first
# call (SHOPREPAIR_MEASURE=1000 or 100000 stops at smaller ones; PART="pages" measures some parts alone,
# PART=lighthouse asks Lighthouse where SHOPREPAIR_LIGHTHOUSE names it).
measure: ready-test
	$(PYTHON) -m tests.measure $(PART)

measure-postgres: ready-test
	$(PYTHON) -m tests.postgres $(PYTHON) -m tests.measure $(or $(PART),pages)

format: ready-test
	$(PYTHON) -m ruff check --fix .
	$(PYTHON) -m ruff format .
	$(PYTHON) -m djlint --reformat --quiet templates

# Serves the shop from the working tree and reloads what changes.
run: ready
	$(MANAGE) migrate
	SHOPREPAIR_DEBUG=1 $(MANAGE) runserver $(or $(HOST),127.0.0.1):$(or $(PORT),8000)

# The main screens as README shows them.
pictures: ready-test
	$(MANAGE) pictures

# The icons of the installed shop, from their drawings in static/img/app.
icons: ready-test
	$(MANAGE) icons

# Every screen and paper in all its states, on one sheet: INTO=folder says where to (the shop's data folder else);
# ONLY=rack,job SIZES=phone,paper STATES=many,wrong choose.
contact-sheet: ready-test
	nice $(PYTHON) -m tests.pictures

# Gathers what is to be said in each language that has a folder in shoprepair/locale (needs gettext), and compiles
# what was translated.
messages: ready-test
	$(MANAGE) makemessages --all --no-wrap --no-obsolete --no-location --ignore .venv --ignore tests --ignore var
	$(PYTHON) -m babel.messages.frontend compile --domain django --directory shoprepair/locale

# Keeps every version that still fits; delete a line of a lock first to let it rise.
lock: ready
	$(PYTHON) -m pip install --quiet uv
	$(PYTHON) -m uv pip compile pyproject.toml --universal --generate-hashes --no-emit-index-url --no-header \
		--quiet -o requirements.lock
	$(PYTHON) -m uv pip compile --group parts --universal --generate-hashes --no-emit-index-url --no-header \
		--quiet -o requirements-parts.lock
	$(PYTHON) -m uv pip compile pyproject.toml --all-extras -c requirements.lock --universal --generate-hashes \
		--no-emit-index-url --no-header --quiet -o requirements-test.lock

# Tools that are asked seldom stand apart from the locked packages.
APART = .venv/apart/bin/python

apart: ready-test
	@test -x $(APART) || $(PYTHON) -m venv --without-pip .venv/apart
	@echo $(CURDIR)/.venv/lib/python3*/site-packages > $$(echo .venv/apart/lib/python3*/site-packages)/shop.pth
	@$(PYTHON) -m pip install --quiet uv
	@$(PYTHON) -m uv pip install --quiet --python $(APART) --group mutation

# Branches of the rules that their tests take: 95 % at least of each package. RULES=pricing measures one.
coverage: apart
	nice $(APART) -m tests.covered $(RULES)

# Changes the most dangerous modules one spot at a time: do their tests see it? Hours; ONLY=money takes one group.
mutants: apart
	nice $(APART) -m tests.mutation.run $(ONLY)

# What the shop is made of, its licences and known holes: make parts INTO=/tmp/parts. Needs no part of the tests.
parts: ready-test
	@test -n "$(INTO)" || (echo "Say where to: make parts INTO=/tmp/parts" && exit 1)
	@test -x $(PARTS)/bandit || $(PYTHON) -m venv .venv/parts
	$(PARTS)/python -m pip install -qq --disable-pip-version-check --no-deps --require-hashes -r requirements-parts.lock
	$(PARTS)/bandit -q -c pyproject.toml -r shoprepair manage.py
	$(PYTHON) -m tests.parts $(INTO) $(PARTS)

ready:
	@.ci/prepare run

ready-test:
	@.ci/prepare test
