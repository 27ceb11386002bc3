#!/usr/bin/perl
# SPDX-License-Identifier: MIT
#
# Reads a calendar with Data::ICal and prints the lines of readers.sh. Usage: read_perl.pl FILE
use strict;
use warnings;
use Data::ICal;
use POSIX qw(strftime);
use Time::Local qw(timegm);

# It warns of what RFC 7986 added and keeps it.
local $SIG{__WARN__} = sub { warn @_ if $_[0] !~ /^Unknown property / };
my $calendar = Data::ICal->new(filename => $ARGV[0]) or die "cannot be read\n";

# A day, or a day with its time on London's clock (TZ), which is that of our TZIDs too.
sub when {
    my ($property, $days) = @_;
    my ($year, $month, $day, $hour, $minute, $utc) =
        $property->value =~ /^(\d{4})(\d\d)(\d\d)(?:T(\d\d)(\d\d)\d\d(Z?))?$/ or die $property->value;
    my $at = timegm(0, $minute // 0, $hour // 0, $day, $month - 1, $year);
    return strftime("%Y-%m-%d", gmtime($at + 86400 * $days)) if !defined $hour;
    my $zone = $property->parameters->{TZID} // "";
    die "zone '$zone'" if !$utc && $zone ne "Europe/London";
    return strftime("%Y-%m-%dT%H:%M", $utc ? localtime($at) : gmtime($at));
}

sub alarms {
    my @all;
    for my $alarm (grep { $_->ical_entry_type eq "VALARM" } @{ $_[0]->entries }) {
        my $trigger = $alarm->property("trigger")->[0];
        my ($sign, $days, $hours, $minutes) =
            $trigger->value =~ /^(-?)P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?$/ or die $trigger->value;
        my $size = ($days // 0) * 1440 + ($hours // 0) * 60 + ($minutes // 0);
        my $from = ($trigger->parameters->{RELATED} // "START") eq "END" ? "E" : "S";
        push @all, $from . ($sign ? -$size : $size);
    }
    return @all ? join(",", @all) : "-";
}

binmode STDOUT, ":utf8";
for my $entry (@{ $calendar->entries }) {
    my $kind = $entry->ical_entry_type;
    next if $kind ne "VEVENT" && $kind ne "VTODO";
    my %of = map { $_ => ($entry->property($_) // [])->[0] }
        qw(uid dtstart dtend due completed status);
    my $off = $of{status} && $of{status}->value eq "CANCELLED" ? "off" : "-";
    if ($kind eq "VEVENT") {
        print join("\t", $of{uid}->value, $kind, when($of{dtstart}, 0), when($of{dtend}, -1), "-",
                   $off, alarms($entry)), "\n";
    } else {
        my $done = $of{completed} ? substr(when($of{completed}, 0), 0, 10) : "-";
        print join("\t", $of{uid}->value, $kind, "-", when($of{due}, 0), $done, $off,
                   alarms($entry)), "\n";
    }
}
