#include "app/session/background.h"

#ifdef __linux__
#include <sys/resource.h>
#include <sys/syscall.h>
#include <unistd.h>
#endif

namespace armslength::app {

void LetTheWindowGoFirst() {
#ifdef __linux__
  // On Linux a thread has its own priority, and its children inherit it (setpriority(2), notes).
  setpriority(PRIO_PROCESS, static_cast<id_t>(syscall(SYS_gettid)), 10);
#endif
}

}  // namespace armslength::app
