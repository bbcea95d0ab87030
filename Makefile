# farhue: build, test, install. The two commands that a newcomer needs:
#   make setup demo      make setup test
# config=release (default) | debug | sanitize | coverage; everything lands in build/$(config)/.
# Rooms and their order: DEVELOPERS.md. Nothing here runs a compiler or pkg-config before a recipe
# needs it, so that `make setup test` works on a machine that has neither yet.

config  ?= release
PREFIX  ?= /usr/local
DESTDIR ?=
WERROR  ?= -Werror
B       := build/$(config)

VERSION := $(shell sed -n 's/^.define FH_VERSION "\(.*\)"/\1/p' include/farhue/version.h 2>/dev/null)
SO_MAJOR := $(firstword $(subst ., ,$(VERSION)))

.DEFAULT_GOAL := all
.DELETE_ON_ERROR:
.SUFFIXES:
.PHONY: all test demo bench study lint fuzz fuzz-run install coverage clean FORCE

# --- Setup -------------------------------------------------------------------------------------
# SETUP is what goes first when named on the command line; every other rule waits for it (order
# only), so that `make setup test` and `make clean all` also work in parallel.
include tests/setup.mk
SETUP := $(filter clean setup setup-%,$(MAKECMDGOALS))

# --- Sources: by room, found by wildcard ---------------------------------------------------------
ROOMS       := base colour optics match files photo show
find_c       = $(wildcard $(1)/*.c $(1)/*/*.c)
ENGINE_SRC  := $(foreach room,$(ROOMS),$(call find_c,src/$(room)))
HOST_SRC    := $(call find_c,src/host)
CLI_SRC     := $(call find_c,src/cli)
UNIT_SRC    := $(wildcard tests/unit/*/test_*.c)
HELPER_SRC  := $(wildcard tests/unit/*.c)
FUZZ_SRC    := $(wildcard tests/fuzz/fuzz_*.c)
BENCH_SRC   := $(wildcard tests/bench/*.c)
STUDY_SRC   := $(wildcard tests/study/*.c)
DEMO_SRC    := $(wildcard demo/*.c)

objects      = $(patsubst %.c,$(B)/%.o,$(1))
programs     = $(patsubst %.c,$(B)/%,$(1))
ENGINE_OBJ  := $(call objects,$(ENGINE_SRC))
LIB_OBJ     := $(ENGINE_OBJ) $(call objects,$(HOST_SRC))
CLI_OBJ     := $(call objects,$(CLI_SRC))
HELPER_OBJ  := $(call objects,$(HELPER_SRC))
REPLAY_OBJ  := $(B)/tests/fuzz/replay.o
UNIT        := $(call programs,$(UNIT_SRC))
FUZZ        := $(call programs,$(FUZZ_SRC))
BENCH       := $(call programs,$(BENCH_SRC))
STUDY       := $(call programs,$(STUDY_SRC))
DEMO        := $(call programs,$(DEMO_SRC))
PROGRAM_OBJ := $(patsubst %,%.o,$(UNIT) $(FUZZ) $(BENCH) $(STUDY) $(DEMO))
OUTER_OBJ   := $(call objects,$(HOST_SRC)) $(CLI_OBJ) $(HELPER_OBJ) $(REPLAY_OBJ) $(PROGRAM_OBJ)

FARHUE      := $(B)/farhue
STATIC      := $(B)/libfarhue.a
SHARED      := $(B)/libfarhue.so.$(VERSION)
SONAME      := libfarhue.so.$(SO_MAJOR)

# --- Flags ---------------------------------------------------------------------------------------
# clang takes libc's INFINITY and NAN (floats) for a promotion; gcc doesn't, and checks for both.
GCC_WARNINGS := $(if $(findstring clang,$(CC)),,-Wdouble-promotion)
WARNINGS := -Wall -Wextra -Wpedantic -Wshadow -Wconversion $(GCC_WARNINGS) -Wvla \
  -Wstrict-prototypes -Wmissing-prototypes -Wold-style-definition -Wundef -Wcast-qual \
  -Wcast-align -Wwrite-strings -Wpointer-arith -Wformat=2 -Wimplicit-fallthrough $(WERROR)

FLAGS_release  := -O2 -g -DNDEBUG
FLAGS_debug    := -O0 -g
FLAGS_sanitize := -O1 -g -fno-omit-frame-pointer -fsanitize=address,undefined -fno-sanitize-recover=all
FLAGS_coverage := -O0 -g --coverage
FLAGS_fuzz     := -O1 -g -fno-omit-frame-pointer -fsanitize=fuzzer-no-link,address,undefined \
  -fno-sanitize-recover=all
$(if $(FLAGS_$(config)),,$(error config=$(config): expected release, debug, sanitize or coverage))

# The reference path must give the same figures everywhere: no fused multiply-add.
CONFIG_FLAGS := $(FLAGS_$(config)) -ffp-contract=off
BASE_FLAGS   := -std=c11 $(CONFIG_FLAGS) -fPIC -fvisibility=hidden -Iinclude -Isrc -MMD -MP $(WARNINGS)
# The engine knows nothing of POSIX, and no frame of it exceeds 16 KiB (sanitizers pad frames).
ENGINE_FLAGS := $(if $(filter release debug,$(config)),-Wframe-larger-than=16384)
OUTER_FLAGS  := -D_POSIX_C_SOURCE=200809L -Itests/unit

# Asked on first use inside a recipe, then remembered: $(call lazily,NAME,shell command).
lazily       = $(1) = $$(eval $(1) := $$(shell $(2)))$$($(1))
LIBRARIES   := lcms2 cminpack libpng libjpeg
$(eval $(call lazily,RAW,pkg-config --exists libraw 2>/dev/null && echo libraw))
$(eval $(call lazily,LIB_CFLAGS,pkg-config --cflags $(LIBRARIES) jansson $$(RAW) | sed 's/-I/-isystem /g'))
# LibRaw's pkg-config file asks for flags that only its static library needs.
$(eval $(call lazily,LIB_LDLIBS,pkg-config --libs $(LIBRARIES) $$(RAW) | sed 's/-fopenmp\|-lstdc++//g'))
$(eval $(call lazily,CLI_LDLIBS,pkg-config --libs jansson))
$(eval $(call lazily,TEST_LDLIBS,pkg-config --libs cmocka))
HAVE_RAW     = $(if $(RAW),-DFH_HAVE_LIBRAW)
COMPILE      = $(CC) $(BASE_FLAGS) $(LIB_CFLAGS) $(CPPFLAGS) $(CFLAGS) -c $< -o $@
LINK         = $(CC) $(CONFIG_FLAGS) $(CFLAGS) $(LDFLAGS)
say          = @mkdir -p $(@D); $(if $(V),,echo "  $(1) $@";)
Q           := $(if $(V),,@)

# --- Build ---------------------------------------------------------------------------------------
all: $(if $(CLI_SRC),$(FARHUE)) $(if $(strip $(LIB_OBJ)),$(STATIC) $(B)/libfarhue.so)

# Changes only when what it holds changes; so a new flag, or a file gone, rebuilds what it must.
record = @mkdir -p $(@D); printf '%s\n' '$(1)' | cmp -s - $@ || printf '%s\n' '$(1)' > $@
$(B)/flags: FORCE | $(SETUP)
	$(call record,$(CC) $(BASE_FLAGS) $(CPPFLAGS) $(CFLAGS) $(ENGINE_FLAGS) $(OUTER_FLAGS))
$(B)/members: FORCE | $(SETUP)
	$(call record,$(LIB_OBJ) $(CLI_OBJ) $(HELPER_OBJ))

$(ENGINE_OBJ): $(B)/%.o: %.c $(B)/flags
	$(call say,cc)
	$(Q)$(COMPILE) $(ENGINE_FLAGS)

$(OUTER_OBJ): $(B)/%.o: %.c $(B)/flags
	$(call say,cc)
	$(Q)$(COMPILE) $(OUTER_FLAGS) $(HAVE_RAW)

$(STATIC): $(LIB_OBJ) $(B)/members
	$(call say,ar)
	$(Q)rm -f $@ && $(AR) rcs $@ $(LIB_OBJ)

$(SHARED): $(LIB_OBJ) $(B)/members
	$(call say,ld)
	$(Q)$(LINK) -shared -Wl,-soname,$(SONAME) -Wl,-z,defs $(LIB_OBJ) -o $@ $(LIB_LDLIBS) -lm

$(B)/libfarhue.so: $(SHARED)
	$(Q)ln -sf $(<F) $(B)/$(SONAME) && ln -sf $(SONAME) $@

$(FARHUE): $(CLI_OBJ) $(STATIC) $(B)/members
	$(call say,ld)
	$(Q)$(LINK) $(CLI_OBJ) $(STATIC) -o $@ $(LIB_LDLIBS) $(CLI_LDLIBS) -lm

# --- Test ----------------------------------------------------------------------------------------
# make test ONLY=difference runs the programs whose path contains that word.
# tests/unit/starve.c makes the n-th allocation fail: the linker sends these two calls through it.
STARVE := -Wl,--wrap=calloc,--wrap=realloc
$(UNIT): %: %.o $(HELPER_OBJ) $(STATIC) $(B)/members
	$(call say,ld)
	$(Q)$(LINK) $(STARVE) $< $(HELPER_OBJ) $(STATIC) -o $@ $(LIB_LDLIBS) $(TEST_LDLIBS) -lm

ifneq ($(config),fuzz)
$(FUZZ): %: %.o $(REPLAY_OBJ) $(STATIC)
	$(call say,ld)
	$(Q)$(LINK) $< $(REPLAY_OBJ) $(STATIC) -o $@ $(LIB_LDLIBS) -lm
endif

ONLY     ?=
only      = $(if $(ONLY),$(foreach path,$(1),$(if $(findstring $(ONLY),$(path)),$(path))),$(1))
CLI_TEST := $(call only,$(wildcard tests/cli/test_*.sh tests/house/test_*.sh))
TESTS    := $(call only,$(UNIT) $(FUZZ)) $(CLI_TEST)

test: all $(call only,$(UNIT) $(FUZZ)) $(if $(CLI_TEST),$(DEMO))
	$(Q)FARHUE=$(abspath $(FARHUE)) DEMO_BIN=$(abspath $(B)/demo) tests/run $(TESTS)

coverage: test
	$(Q)tests/coverage $(B)

# Fuzzing needs clang: each harness runs FUZZ_SECONDS; findings go to build/fuzz/.
FUZZ_SECONDS ?= 60
fuzz: | $(SETUP)
	$(Q)$(MAKE) config=fuzz CC=clang fuzz-run
ifeq ($(config),fuzz)
$(FUZZ): %: %.o $(STATIC)
	$(call say,ld)
	$(Q)$(LINK) -fsanitize=fuzzer $< $(STATIC) -o $@ $(LIB_LDLIBS) -lm
fuzz-run: $(call only,$(FUZZ))
	$(Q)FUZZ_SECONDS=$(FUZZ_SECONDS) tests/fuzz/run $^
endif

# Bench and study programs may use the helpers of the unit tests; a demo program may not.
$(BENCH) $(STUDY): %: %.o $(HELPER_OBJ) $(STATIC) $(B)/members
	$(call say,ld)
	$(Q)$(LINK) $(STARVE) $< $(HELPER_OBJ) $(STATIC) -o $@ $(LIB_LDLIBS) $(TEST_LDLIBS) -lm

$(DEMO): %: %.o $(STATIC)
	$(call say,ld)
	$(Q)$(LINK) $< $(STATIC) -o $@ $(LIB_LDLIBS) -lm

bench: $(call only,$(BENCH))
	$(Q)set -e; for program in $^; do ./$$program; done

study: $(call only,$(STUDY))
	$(Q)set -e; for program in $^; do ./$$program; done

demo: all $(DEMO)
	$(Q)FARHUE=$(abspath $(FARHUE)) DEMO_BIN=$(abspath $(B)/demo) demo/run

lint: all
	$(Q)CC='$(CC)' tests/lint $(B)

# --- WebAssembly ---------------------------------------------------------------------------------
include src/page/wasm.mk
include src/page/page.mk

# --- Install -------------------------------------------------------------------------------------
$(B)/farhue.pc: include/farhue/version.h Makefile | $(SETUP)
	$(call say,gen)
	$(Q)printf '%s\n' 'prefix=$(PREFIX)' 'libdir=$${prefix}/lib' 'includedir=$${prefix}/include' '' \
	  'Name: farhue' 'Description: colour of a hidden part seen through a translucent shell' \
	  'Version: $(VERSION)' 'Requires.private: $(LIBRARIES) $(RAW)' \
	  'Libs: -L$${libdir} -lfarhue' 'Libs.private: -lm' 'Cflags: -I$${includedir}' > $@

install: all $(B)/farhue.pc
	install -d $(addprefix $(DESTDIR)$(PREFIX)/,bin lib/pkgconfig include/farhue share/farhue/swatches)
	$(if $(CLI_SRC),install -m 755 $(FARHUE) $(DESTDIR)$(PREFIX)/bin/)
	install -m 644 $(STATIC) $(SHARED) $(DESTDIR)$(PREFIX)/lib/
	ln -sf $(notdir $(SHARED)) $(DESTDIR)$(PREFIX)/lib/$(SONAME)
	ln -sf $(SONAME) $(DESTDIR)$(PREFIX)/lib/libfarhue.so
	install -m 644 $(B)/farhue.pc $(DESTDIR)$(PREFIX)/lib/pkgconfig/
	$(if $(wildcard include/farhue.h),install -m 644 include/farhue.h $(DESTDIR)$(PREFIX)/include/)
	install -m 644 $(wildcard include/farhue/*.h) $(DESTDIR)$(PREFIX)/include/farhue/
	$(if $(wildcard swatches/*),install -m 644 $(wildcard swatches/*) $(DESTDIR)$(PREFIX)/share/farhue/swatches/)

clean:
	rm -rf build

-include $(patsubst %.o,%.d,$(LIB_OBJ) $(OUTER_OBJ))
