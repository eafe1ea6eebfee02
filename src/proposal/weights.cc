#include "proposal/weights.h"

// Twelve megabytes as a C array take the compiler minutes; the assembler copies them in no time.
#define AL_INCLUDE_FILE(symbol, path)                                                        \
  __asm__(".section .rodata\n.global " #symbol "\n.global " #symbol "_end\n.balign 16\n" #symbol \
          ":\n.incbin \"" path "\"\n" #symbol "_end:\n.byte 0\n.previous\n")
AL_INCLUDE_FILE(al_body_net, AL_BODY_NET);
AL_INCLUDE_FILE(al_head_net, AL_HEAD_NET);

extern "C" {
extern const char al_body_net[], al_body_net_end[], al_head_net[], al_head_net_end[];
}

namespace armslength {

std::string_view BodyWeights() { return {al_body_net, static_cast<std::size_t>(al_body_net_end - al_body_net)}; }
std::string_view HeadWeights() { return {al_head_net, static_cast<std::size_t>(al_head_net_end - al_head_net)}; }

}  // namespace armslength
