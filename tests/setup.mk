# What a fresh Debian 12 machine with only git and make needs. Elsewhere the list is printed.
.PHONY: setup setup-dev

# To build, run the demo and test; `locales` holds the definitions for a comma locale.
PACKAGES     := gcc libc6-dev pkg-config liblcms2-dev libcminpack-dev libpng-dev libjpeg-dev \
  libraw-dev libjansson-dev libcmocka-dev locales
# For lint (C++ header check), fuzz (clang) and engine-wasm as well.
DEV_PACKAGES := g++ clang lld wasi-libc libclang-rt-14-dev libclang-rt-14-dev-wasm32 dpkg-dev \
  patch xz-utils

setup:
	@tests/setup $(PACKAGES)
setup-dev: $(filter setup,$(MAKECMDGOALS)) # one after the other: apt has a lock
	@tests/setup $(PACKAGES) $(DEV_PACKAGES)
