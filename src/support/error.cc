#include "support/error.h"

namespace armslength {
namespace {

// Causes and remedies come from many places; make each end in one full stop.
void AppendSentence(std::string& text, const std::string& sentence) {
  if (sentence.empty()) return;
  if (!text.empty()) text += ' ';
  text += sentence;
  if (text.back() != '.' && text.back() != '?' && text.back() != '!') text += '.';
}

}  // namespace

std::string Error::Text() const {
  std::string head = file;
  if (!place.empty()) head += (head.empty() ? "at " : ", at ") + place;
  std::string body;
  AppendSentence(body, cause);
  AppendSentence(body, remedy);
  return head.empty() ? body : head + ": " + body;
}

int ExitCode(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::kUsage:
      return 2;
    case ErrorKind::kInput:
      return 3;
    case ErrorKind::kCancelled:
      return 4;
    case ErrorKind::kInternal:
      return 5;
  }
  return 5;
}

}  // namespace armslength
