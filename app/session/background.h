#pragma once

namespace armslength::app {

// This thread, and those it starts from now on, let the window go first: a lower scheduling priority
// (nice 10 on Linux, nothing elsewhere). For long work beside a person who is drawing.
void LetTheWindowGoFirst();

}  // namespace armslength::app
