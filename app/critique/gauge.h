#pragma once
#include <QWidget>

#include "check/finding.h"

namespace armslength::app {

// The number as a scale: what is expected with its tolerance band (blue), what was drawn with two
// standard deviations each way (orange). Hidden for findings without these numbers.
class GaugeView : public QWidget {
  Q_OBJECT
 public:
  explicit GaugeView(QWidget* parent = nullptr);
  void Show(const Finding& finding);
  // The finding carries a measured and an expected value.
  [[nodiscard]] static bool Has(const Finding& finding);
  [[nodiscard]] QSize sizeHint() const override;

 protected:
  void paintEvent(QPaintEvent* event) override;

 private:
  Finding finding_;
};

}  // namespace armslength::app
