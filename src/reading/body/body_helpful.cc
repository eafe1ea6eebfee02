#include "reading/body/body_helpful.h"

namespace armslength::body {

std::vector<HelpfulMark> FindHelpful(const BodyModel&, const Scan&, const FigureMarks&, const BodyReading&) {
  return {};
}

}  // namespace armslength::body
