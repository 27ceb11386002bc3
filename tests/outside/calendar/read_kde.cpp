// SPDX-License-Identifier: MIT
//
// Reads a calendar with KCalendarCore and prints the lines of readers.sh. Usage: read_kde FILE
#include <KCalendarCore/Alarm>
#include <KCalendarCore/Event>
#include <KCalendarCore/ICalFormat>
#include <KCalendarCore/MemoryCalendar>
#include <KCalendarCore/Todo>
#include <QTextStream>
#include <QTimeZone>

using namespace KCalendarCore;

static const QTimeZone london("Europe/London");

// A day, or a day with its time on London's clock.
static QString when(const QDateTime &moment, bool day)
{
    return day ? moment.date().toString(Qt::ISODate)
               : moment.toTimeZone(london).toString("yyyy-MM-ddTHH:mm");
}

// "S-900": minutes from the start; "E-900": from the end or the day on which it is due.
static QString alarms(const Incidence::Ptr &entry)
{
    QStringList all;

    for (const Alarm::Ptr &alarm : entry->alarms()) {
        if (alarm->hasEndOffset())
            all << QString("E%1").arg(alarm->endOffset().asSeconds() / 60);
        else
            all << QString("S%1").arg(alarm->startOffset().asSeconds() / 60);
    }
    return all.isEmpty() ? "-" : all.join(",");
}

int main(int argc, char **argv)
{
    QTextStream out(stdout);
    MemoryCalendar::Ptr calendar(new MemoryCalendar(london));
    ICalFormat format;

    if (argc != 2 || !format.load(calendar, QString::fromLocal8Bit(argv[1])))
        return 1;
    for (const Event::Ptr &event : calendar->rawEvents())
        out << event->uid() << "\tVEVENT\t" << when(event->dtStart(), event->allDay()) << '\t'
            << when(event->dtEnd(), event->allDay()) << "\t-\t"
            << (event->status() == Incidence::StatusCanceled ? "off" : "-") << '\t'
            << alarms(event) << '\n';
    for (const Todo::Ptr &todo : calendar->rawTodos())
        out << todo->uid() << "\tVTODO\t-\t" << when(todo->dtDue(), todo->allDay()) << '\t'
            << (todo->isCompleted() ? when(todo->completed(), false).left(10) : QString("-")) << '\t'
            << (todo->status() == Incidence::StatusCanceled ? "off" : "-") << '\t' << alarms(todo)
            << '\n';
    return 0;
}
