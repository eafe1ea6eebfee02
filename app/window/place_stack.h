#pragma once
#include <QVBoxLayout>
#include <QWidget>

namespace armslength::app {

// The places, one in front, and as high as that one needs: Qt's own stack is as high as its highest page,
// and a short place would scroll in a low window.
class PlaceStack : public QWidget {
 public:
  explicit PlaceStack(QWidget* parent) : QWidget(parent) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
  }
  void Add(QWidget* page) {
    layout()->addWidget(page);
    page->setVisible(!front_);
    if (!front_) front_ = page;
  }
  void Show(QWidget* page) {
    if (page == front_) return;
    front_->hide();
    front_ = page;
    page->show();
  }
  [[nodiscard]] QWidget* Front() const { return front_; }

 private:
  QWidget* front_ = nullptr;
};

}  // namespace armslength::app
