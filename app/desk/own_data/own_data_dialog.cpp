// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/own_data/own_data_dialog.h"

#include "app/desk/app_settings.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/own_data/own_data_panel.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"

#include <QDialogButtonBox>
#include <QPushButton>
#include <QTabWidget>
#include <QVBoxLayout>

namespace shimledger::desk {

OwnDataDialog::OwnDataDialog(ShopSession& session, AppSettings& settings, QWidget* parent)
    : QDialog(parent), m_tabs(new QTabWidget), m_strip(new MessageStrip) {
    setWindowTitle(tr("The shop's own data"));
    m_tabs->setAccessibleName(windowTitle());
    for (services::OwnDataKind& kind : services::ownDataKinds(settings.choices().size_unit)) {
        QString title = textOf(kind.name);
        title[0] = title[0].toUpper();
        auto* panel = new OwnDataPanel(std::move(kind), session, settings);
        guarded(panel, &OwnDataPanel::done, m_strip, &MessageStrip::showDone);
        guarded(panel, &OwnDataPanel::failed, m_strip, &MessageStrip::showProblem);
        guarded(&session, &ShopSession::changed, panel, &OwnDataPanel::reload);
        m_tabs->addTab(panel, title);
        m_panels.push_back(panel);
    }
    guarded(m_tabs, &QTabWidget::currentChanged, m_strip, &MessageStrip::clear);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close);
    buttons->button(QDialogButtonBox::Close)->setAutoDefault(false);
    guarded(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_strip);
    layout->addWidget(m_tabs, 1);
    layout->addWidget(buttons);
    resize(1120, 700);
}

} // namespace shimledger::desk
