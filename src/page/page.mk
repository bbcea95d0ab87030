# The page: build/farhue.html, one file with the engine in it.
.PHONY: page page-test dist
PAGE_C      := $(filter-out src/page/no_host.c,$(wildcard src/page/*.c))
PAGE_WASM   := $(patsubst %.c,$(W)/%.o,$(PAGE_C))
PAGE_SCRIPT := $(sort $(wildcard src/page/js/*.js))

$(PAGE_WASM): $(W)/%.o: %.c $(W)/deps/fetched src/page/wasm.mk
	@mkdir -p $(@D); echo "  wasm $@"
	$(Q)$(CLANG) $(WASM_FLAGS) -Iinclude -Isrc $(WASM_DEPS) $(filter-out -Wdouble-promotion,$(WARNINGS)) -c $< -o $@

# Only what the page calls is exported; the linker drops the rest.
$(W)/farhue.wasm: $(WASM_READY) $(PAGE_WASM)
	@echo "  link $@"
	$(Q)$(WASM_LINK) -Wl,--gc-sections -Wl,--strip-all $(WASM_OBJ) $(PAGE_WASM) -o $@ -lm

build/farhue.html: src/page/page.html src/page/style.css src/page/assemble $(W)/farhue.wasm $(PAGE_SCRIPT)
	@echo "  page $@"
	$(Q)src/page/assemble src/page/page.html src/page/style.css $(W)/farhue.wasm $@ $(PAGE_SCRIPT)

page: build/farhue.html

-include $(PAGE_WASM:.o=.d)

# --- Tests in a browser: make setup-page once, then make page-test ----------------------------------
.PHONY: setup-page
PAGE_TEST := build/page-test
# npm comes with some builds of nodejs and is a package of its own with others.
setup-page: | $(filter setup setup-dev,$(MAKECMDGOALS))
	@tests/setup chromium fonts-dejavu-core $$(command -v node >/dev/null || echo nodejs) \
	  $$(command -v npm >/dev/null || echo npm)
	@mkdir -p $(PAGE_TEST) && cp tests/page/package.json tests/page/package-lock.json $(PAGE_TEST)/ && \
	  cd $(PAGE_TEST) && npm ci --no-audit --no-fund --ignore-scripts

page-test: build/farhue.html all $(B)/demo/photos $(B)/demo/readings
	@[ -d $(PAGE_TEST)/node_modules ] || { echo "page-test: run 'make setup-page' first" >&2; exit 2; }
	$(Q)mkdir -p $(PAGE_TEST)/photos $(PAGE_TEST)/readings && $(B)/demo/photos $(PAGE_TEST)/photos && \
	  $(B)/demo/readings $(PAGE_TEST)/readings
	$(Q)set -e; export DEMO_PHOTOS=$(abspath $(PAGE_TEST)/photos) DEMO_READINGS=$(abspath $(PAGE_TEST)/readings) \
	  FARHUE=$(abspath $(FARHUE)); \
	  for test in $(wildcard tests/page/test_*.mjs); do echo "# $$test"; node $$test; done

# Ready to send: the page by itself, to open from disk or to lay on any web address.
dist: build/farhue.html
	$(Q)mkdir -p build/dist && cp build/farhue.html build/dist/ && ls -l build/dist

# The same figures natively and in the page: one program built both ways.
$(B)/tests/page/cases: tests/page/cases.c $(STATIC) $(B)/flags
	$(call say,cc)
	$(Q)$(CC) $(BASE_FLAGS) $(OUTER_FLAGS) $(LIB_CFLAGS) $< $(STATIC) -o $@ $(LIB_LDLIBS) -lm
$(W)/cases.wasm: tests/page/cases.c $(WASM_READY)
	@echo "  link $@"
	$(Q)$(CLANG) $(WASM_FLAGS) -Iinclude -Isrc $(WASM_DEPS) -c $< -o $(W)/cases.o
	$(Q)$(WASM_LINK) -Wl,--gc-sections $(WASM_OBJ) $(W)/cases.o -o $@ -lm
page-test: $(B)/tests/page/cases $(W)/cases.wasm

# The door by itself, natively; make config=sanitize page-door runs it under the sanitizers.
.PHONY: page-door
PAGE_NATIVE := $(patsubst %.c,$(B)/%.o,$(filter-out src/page/module.c,$(PAGE_C)))
$(PAGE_NATIVE) $(B)/tests/page/door.o: $(B)/%.o: %.c $(B)/flags
	$(call say,cc)
	$(Q)$(COMPILE) $(OUTER_FLAGS)
$(B)/tests/page/door: $(B)/tests/page/door.o $(PAGE_NATIVE) $(STATIC)
	$(call say,ld)
	$(Q)$(LINK) $(B)/tests/page/door.o $(PAGE_NATIVE) $(STATIC) -o $@ $(LIB_LDLIBS) -lm
page-door: $(B)/tests/page/door
	$(Q)$<
page-test: page-door
-include $(PAGE_NATIVE:.o=.d) $(B)/tests/page/door.d
