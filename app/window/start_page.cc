#include "app/window/start_page.h"

#include <QDragEnterEvent>
#include <QFileInfo>
#include <QGridLayout>
#include <QLabel>
#include <QMimeData>
#include <QPainter>
#include <QScrollArea>
#include <QToolButton>
#include <QVBoxLayout>

#include "app/window/commands.h"
#include "app/window/key_button.h"
#include "app/window/look_and_feel.h"

namespace armslength::app {
namespace {

constexpr int kColumns = 4, kShown = 8;
constexpr QSize kThumbnail{112, 112};

// In the middle of a square of the screen's own pixels: at 200 % an icon of another shape would be drawn too large.
QPixmap Squared(const QPixmap& picture, qreal ratio) {
  QPixmap square(kThumbnail * ratio);
  square.fill(Qt::transparent);
  const QPixmap fitted = picture.scaled(square.size(), Qt::KeepAspectRatio, Qt::SmoothTransformation);
  QPainter(&square).drawPixmap((square.width() - fitted.width()) / 2, (square.height() - fitted.height()) / 2, fitted);
  square.setDevicePixelRatio(ratio);
  return square;
}

}  // namespace

StartPage::StartPage(Commands& commands, QWidget* parent) : QWidget(parent) {
  setAcceptDrops(true);
  // Scrolls where the window is low or narrow: what it needs must not make the window larger than the screen.
  auto* whole = new QVBoxLayout(this);
  whole->setContentsMargins(0, 0, 0, 0);
  auto* scroll = new QScrollArea(this);
  scroll->setWidgetResizable(true);
  scroll->setFocusPolicy(Qt::NoFocus);
  whole->addWidget(scroll);
  auto* page = new QWidget(scroll);
  scroll->setWidget(page);
  auto* outer = new QVBoxLayout(page);
  outer->setContentsMargins(32, 32, 32, 32);
  outer->addStretch(2);
  auto* middle = new QWidget(page);
  middle->setMaximumWidth(560);
  auto* column = new QVBoxLayout(middle);
  column->setSpacing(kGap);
  column->setContentsMargins(0, 0, 0, 0);
  heading_ = Heading({}, middle);
  QFont big = heading_->font();
  big.setPointSizeF(big.pointSizeF() * 1.7);
  heading_->setFont(big);
  column->addWidget(heading_);
  trouble_ = new QLabel(middle);
  trouble_->setTextFormat(Qt::PlainText);  // names come from files
  trouble_->setWordWrap(true);
  trouble_->setMargin(10);
  trouble_->setFrameShape(QFrame::Box);
  trouble_->setTextInteractionFlags(Qt::TextSelectableByMouse);
  trouble_->hide();
  column->addWidget(trouble_);
  column->addWidget(QuietText(tr("PNG, JPEG, WebP, TIFF or OpenRaster, at full size. Your file is only ever read; "
                                 "save it in your own program and it is shown anew here."),
                              middle));
  column->addSpacing(kGap);
  auto* row = new QHBoxLayout;
  row->setSpacing(kGap);
  auto* open = new KeyButton(commands.Find(QStringLiteral("file.open")), middle, KeyButton::Weight::kStrong);
  row->addWidget(open);
  setFocusProxy(open);
  row->addWidget(new KeyButton(commands.Find(QStringLiteral("file.demo")), middle));
  back_ = new KeyButton(commands.Find(QStringLiteral("view.picture")), middle);
  row->addWidget(back_);
  row->addStretch(1);
  column->addLayout(row);
  column->addSpacing(kSectionGap);
  recent_heading_ = Heading(tr("Your pieces"), middle);
  column->addWidget(recent_heading_);
  recent_ = new QGridLayout;
  recent_->setSpacing(kGap);
  column->addLayout(recent_);
  journal_ = QuietText({}, middle);
  journal_->setTextInteractionFlags(Qt::TextSelectableByMouse);
  column->addWidget(journal_);
  auto* centred = new QHBoxLayout;
  centred->addStretch(1);
  centred->addWidget(middle, 8);
  centred->addStretch(1);
  outer->addLayout(centred);
  outer->addStretch(3);
  SetPictureOpen(false);
  SetBusy({});
  SetRecent({});
}

void StartPage::SetBusy(const QString& what) {
  heading_->setText(what.isEmpty() ? tr("Drop a picture here") : what);
  if (!what.isEmpty()) SetTrouble({});
}

void StartPage::SetTrouble(const QString& what) {
  trouble_->setText(what);
  trouble_->setVisible(!what.isEmpty());
}

void StartPage::SetPictureOpen(bool open) { back_->setVisible(open); }

void StartPage::SetJournalPath(const QString& path) {
  journal_->setText(tr("Everything you mark and write is kept on this computer, in %1").arg(path));
}

void StartPage::SetRecent(const std::vector<PieceInfo>& pieces) {
  while (QLayoutItem* item = recent_->takeAt(0)) {
    delete item->widget();
    delete item;
  }
  int shown = 0;
  for (const PieceInfo& piece : pieces) {
    const QString path = QString::fromStdString(piece.latest.picture.path);
    if (shown == kShown || !QFileInfo::exists(path)) continue;
    auto* button = new QToolButton(this);
    QPixmap pixmap;
    pixmap.loadFromData(reinterpret_cast<const uchar*>(piece.thumbnail_png.data()),
                        static_cast<uint>(piece.thumbnail_png.size()));
    if (!pixmap.isNull()) button->setIcon(QIcon(Squared(pixmap, devicePixelRatioF())));
    button->setIconSize(kThumbnail);
    const QString title = QString::fromStdString(piece.title);
    button->setText(button->fontMetrics().elidedText(title, Qt::ElideRight, kThumbnail.width()));
    button->setToolTip(path);
    button->setAccessibleName(tr("Open %1").arg(title));
    button->setToolButtonStyle(Qt::ToolButtonTextUnderIcon);
    button->setAutoRaise(true);
    button->setFixedSize(kThumbnail + QSize(16, 36));
    connect(button, &QToolButton::clicked, this, [this, path] { emit Chosen(path); });
    recent_->addWidget(button, shown / kColumns, shown % kColumns, Qt::AlignLeft);
    ++shown;
  }
  recent_->setColumnStretch(kColumns, 1);
  recent_heading_->setVisible(shown > 0);
}

void StartPage::dragEnterEvent(QDragEnterEvent* event) {
  if (event->mimeData()->hasUrls() && event->mimeData()->urls().first().isLocalFile()) event->acceptProposedAction();
}

void StartPage::dropEvent(QDropEvent* event) {
  if (!event->mimeData()->hasUrls()) return;
  event->acceptProposedAction();
  emit PictureDropped(event->mimeData()->urls().first().toLocalFile());
}

}  // namespace armslength::app
