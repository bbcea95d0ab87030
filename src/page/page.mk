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
