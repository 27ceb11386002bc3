/* SPDX-License-Identifier: MIT
 *
 * libical, loaded when the first entry is read: it brings the tables of ICU with it, which are more
 * work to load than all else that a start of the program does.
 *
 * After spl_ical_load the functions of ical.h are called by their own names.
 */
#ifndef SPL_EXCHANGE_ICAL_LATE_H
#define SPL_EXCHANGE_ICAL_LATE_H

#include <glib.h>
#include <libical/ical.h>

/* Every function of libical that is used. */
#define SPL_ICAL_FUNCTIONS(X)                                                                      \
    X(icalcomponent_free)                                                                          \
    X(icalcomponent_get_first_property)                                                            \
    X(icalcomponent_get_next_property)                                                             \
    X(icaldurationtype_is_bad_duration)                                                            \
    X(icalmemory_free_buffer)                                                                      \
    X(icalparameter_get_tzid)                                                                      \
    X(icalparser_parse_string)                                                                     \
    X(icalproperty_get_categories)                                                                 \
    X(icalproperty_get_class)                                                                      \
    X(icalproperty_get_completed)                                                                  \
    X(icalproperty_get_description)                                                                \
    X(icalproperty_get_dtend)                                                                      \
    X(icalproperty_get_dtstamp)                                                                    \
    X(icalproperty_get_dtstart)                                                                    \
    X(icalproperty_get_due)                                                                        \
    X(icalproperty_get_duration)                                                                   \
    X(icalproperty_get_exdate)                                                                     \
    X(icalproperty_get_first_parameter)                                                            \
    X(icalproperty_get_geo)                                                                        \
    X(icalproperty_get_lastmodified)                                                               \
    X(icalproperty_get_location)                                                                   \
    X(icalproperty_get_percentcomplete)                                                            \
    X(icalproperty_get_rdate)                                                                      \
    X(icalproperty_get_recurrenceid)                                                               \
    X(icalproperty_get_relatedto)                                                                  \
    X(icalproperty_get_sequence)                                                                   \
    X(icalproperty_get_status)                                                                     \
    X(icalproperty_get_summary)                                                                    \
    X(icalproperty_get_transp)                                                                     \
    X(icalproperty_get_uid)                                                                        \
    X(icalproperty_get_url)                                                                        \
    X(icalproperty_get_value_as_string_r)                                                          \
    X(icalproperty_isa)                                                                            \
    X(icalrecurrencetype_day_day_of_week)                                                          \
    X(icalrecurrencetype_day_position)                                                             \
    X(icalrecurrencetype_from_string)                                                              \
    X(icaltime_is_null_time)                                                                       \
    X(icaltime_is_utc)

struct spl_ical_table {
#define SPL_ICAL_MEMBER(name) __typeof__(name) *name##_;
    SPL_ICAL_FUNCTIONS(SPL_ICAL_MEMBER)
#undef SPL_ICAL_MEMBER
};
extern struct spl_ical_table spl_ical;

/* Loads the library once. SPL_ERROR_INTERNAL when it is not installed or too old. */
gboolean spl_ical_load(GError **error);

#define icalcomponent_free spl_ical.icalcomponent_free_
#define icalcomponent_get_first_property spl_ical.icalcomponent_get_first_property_
#define icalcomponent_get_next_property spl_ical.icalcomponent_get_next_property_
#define icaldurationtype_is_bad_duration spl_ical.icaldurationtype_is_bad_duration_
#define icalmemory_free_buffer spl_ical.icalmemory_free_buffer_
#define icalparameter_get_tzid spl_ical.icalparameter_get_tzid_
#define icalparser_parse_string spl_ical.icalparser_parse_string_
#define icalproperty_get_categories spl_ical.icalproperty_get_categories_
#define icalproperty_get_class spl_ical.icalproperty_get_class_
#define icalproperty_get_completed spl_ical.icalproperty_get_completed_
#define icalproperty_get_description spl_ical.icalproperty_get_description_
#define icalproperty_get_dtend spl_ical.icalproperty_get_dtend_
#define icalproperty_get_dtstamp spl_ical.icalproperty_get_dtstamp_
#define icalproperty_get_dtstart spl_ical.icalproperty_get_dtstart_
#define icalproperty_get_due spl_ical.icalproperty_get_due_
#define icalproperty_get_duration spl_ical.icalproperty_get_duration_
#define icalproperty_get_exdate spl_ical.icalproperty_get_exdate_
#define icalproperty_get_first_parameter spl_ical.icalproperty_get_first_parameter_
#define icalproperty_get_geo spl_ical.icalproperty_get_geo_
#define icalproperty_get_lastmodified spl_ical.icalproperty_get_lastmodified_
#define icalproperty_get_location spl_ical.icalproperty_get_location_
#define icalproperty_get_percentcomplete spl_ical.icalproperty_get_percentcomplete_
#define icalproperty_get_rdate spl_ical.icalproperty_get_rdate_
#define icalproperty_get_recurrenceid spl_ical.icalproperty_get_recurrenceid_
#define icalproperty_get_relatedto spl_ical.icalproperty_get_relatedto_
#define icalproperty_get_sequence spl_ical.icalproperty_get_sequence_
#define icalproperty_get_status spl_ical.icalproperty_get_status_
#define icalproperty_get_summary spl_ical.icalproperty_get_summary_
#define icalproperty_get_transp spl_ical.icalproperty_get_transp_
#define icalproperty_get_uid spl_ical.icalproperty_get_uid_
#define icalproperty_get_url spl_ical.icalproperty_get_url_
#define icalproperty_get_value_as_string_r spl_ical.icalproperty_get_value_as_string_r_
#define icalproperty_isa spl_ical.icalproperty_isa_
#define icalrecurrencetype_day_day_of_week spl_ical.icalrecurrencetype_day_day_of_week_
#define icalrecurrencetype_day_position spl_ical.icalrecurrencetype_day_position_
#define icalrecurrencetype_from_string spl_ical.icalrecurrencetype_from_string_
#define icaltime_is_null_time spl_ical.icaltime_is_null_time_
#define icaltime_is_utc spl_ical.icaltime_is_utc_

#endif
