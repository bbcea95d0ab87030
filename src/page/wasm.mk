# The engine as one WebAssembly module: build/wasm/engine.wasm. It shows that the engine needs no
# file, clock, environment or thread (tests/page/imports.txt lists what it may import), and the page
# is built from the same objects.
.PHONY: engine-wasm
W     := build/wasm
CLANG ?= clang

WASM_ENGINE := $(patsubst %.c,$(W)/%.o,$(ENGINE_SRC) src/page/no_host.c)
# -nostdlibinc instead of --sysroot=/usr: that would let the machine's own headers in.
WASM_TARGET := --target=wasm32-wasi -nostdlibinc -isystem /usr/include/wasm32-wasi
WASM_FLAGS  := $(WASM_TARGET) -std=c11 -O2 -DNDEBUG -ffp-contract=off -fvisibility=hidden -MMD -MP
WASM_DEPS   := -isystem $(W)/deps/lcms2/include -isystem $(W)/deps/cminpack -DCMS_NO_PTHREADS=1
# No -O here: with it clang asks for wasm-opt. The stack lies below the data, so that running out of
# it traps instead of overwriting.
WASM_LINK   := $(CLANG) --target=wasm32-wasi -mexec-model=reactor -Wl,--stack-first \
  -Wl,-z,stack-size=1048576 -Wl,--fatal-warnings

$(W)/deps/fetched: src/page/fetch | $(SETUP)
	@echo "  fetch lcms2, cminpack"
	$(Q)src/page/fetch $(@D) && touch $@

# The two libraries, object by object, so that the linker can drop what nothing calls.
$(W)/lcms2/compiled: $(W)/deps/fetched src/page/wasm.mk
	@echo "  wasm lcms2"
	$(Q)mkdir -p $(@D) && cd $(@D) && rm -f *.o && \
	  $(CLANG) $(WASM_FLAGS) -w -DCMS_NO_PTHREADS=1 -I../deps/lcms2/include -c ../deps/lcms2/src/*.c
	$(Q)touch $@

$(W)/cminpack/compiled: $(W)/deps/fetched src/page/wasm.mk
	@echo "  wasm cminpack"
	$(Q)mkdir -p $(@D) && cd $(@D) && rm -f *.o && \
	  $(CLANG) $(WASM_FLAGS) -w -c $$(ls ../deps/cminpack/*.c | grep -v '_\.c$$')
	$(Q)touch $@

$(WASM_ENGINE): $(W)/%.o: %.c $(W)/deps/fetched src/page/wasm.mk
	@mkdir -p $(@D); echo "  wasm $@"
	$(Q)$(CLANG) $(WASM_FLAGS) -Iinclude -Isrc $(WASM_DEPS) $(filter-out -Wdouble-promotion,$(WARNINGS)) -Wframe-larger-than=16384 -c $< -o $@

# WASM_OBJ in a recipe: what every module is linked from.
WASM_READY := $(WASM_ENGINE) $(W)/lcms2/compiled $(W)/cminpack/compiled $(W)/members
WASM_OBJ   := $(WASM_ENGINE) $(W)/lcms2/*.o $(W)/cminpack/*.o

$(W)/members: FORCE | $(SETUP)
	$(call record,$(WASM_ENGINE))

$(W)/engine.wasm: $(WASM_READY)
	@echo "  link $@"
	$(Q)$(WASM_LINK) -Wl,--export-dynamic $(WASM_OBJ) -o $@ -lm

$(B)/tests/page/imports: tests/page/imports.c $(B)/flags
	$(call say,cc)
	$(Q)$(CC) $(BASE_FLAGS) $< -o $@

engine-wasm: $(W)/engine.wasm $(B)/tests/page/imports
	$(Q)$(B)/tests/page/imports $(W)/engine.wasm tests/page/imports.txt

-include $(WASM_ENGINE:.o=.d)
