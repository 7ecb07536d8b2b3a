# The commands of this project; README.md tells what each is for.
PYTHON ?= python3
RUN := .venv/bin/python

.DEFAULT_GOAL := help
.PHONY: help demo serve install test lint bench schema

help: ## say what can be made
	@sed -n 's/^\([a-z]*\):.*## /  make \1: /p' $(MAKEFILE_LIST)

demo: ## run the demo company here; HOST, PORT, DATA_DIR, DEMO_PASSWORD, DATABASE_URL, REDIS_URL are heeded
	@$(PYTHON) config/install.py demo
	@exec env DEMO=1 $(RUN) -m config.supervisor

serve: ## run the empty service here, for a company of your own; heeds the same, and keeps its data in DATA_DIR
	@$(PYTHON) config/install.py serve
	@exec env KEEP_SECRET=1 $(RUN) -m config.supervisor

install: ## make .venv with everything that demo and test need
	@$(PYTHON) config/install.py all

test: install ## lint, types, imports, migrations and all tests, on every database that answers
	@exec $(RUN) -m tests.everything

lint: install ## only lint, types, imports and migrations
	@exec $(RUN) -m tests.everything lint

bench: install ## measure what has to be fast
	@exec $(RUN) -m tests.bench

schema: install ## write the OpenAPI document that the code describes
	@exec env SECRET_KEY=unused $(RUN) manage.py spectacular --format openapi-json --file config/openapi.json --validate --fail-on-warn
