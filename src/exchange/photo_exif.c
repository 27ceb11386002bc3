/* SPDX-License-Identifier: MIT
 *
 * What a camera wrote into a photo: CIPA DC-008 (EXIF 2.32), read by libexif. See
 * exchange/photo_look.h.
 */
#include <libexif/exif-data.h>
#include <math.h>
#include <string.h>

#include "exchange/photo_look.h"

/* Tags of the position (CIPA DC-008, 4.6.6), whose numbers other directories use too. */
enum { LAT_REF = 0x01, LAT = 0x02, LON_REF = 0x03, LON = 0x04, POSITIONING_ERROR = 0x1f };

static const ExifEntry *entry_of(ExifData *data, ExifIfd ifd, int tag, ExifFormat format,
                                 gsize components)
{
    const ExifEntry *entry = exif_content_get_entry(data->ifd[ifd], (ExifTag)tag);

    if (entry == NULL || entry->data == NULL || entry->format != format ||
        entry->components < components || entry->size < components * exif_format_get_size(format))
        return NULL;
    return entry;
}

#define FIRST_YEAR 1990 /* before cameras wrote any */

/* NAN: not said, or divided by nothing. */
static double rational(const ExifEntry *entry, gsize i, ExifByteOrder order)
{
    const ExifRational value = exif_get_rational(entry->data + i * 8, order);

    return value.denominator == 0 ? NAN : (double)value.numerator / value.denominator;
}

/* "YYYY:MM:DD HH:MM:SS", the local time where it was taken. */
static void read_day(ExifData *data, struct spl_photo_facts *facts)
{
    const ExifEntry *entry = entry_of(data, EXIF_IFD_EXIF, EXIF_TAG_DATE_TIME_ORIGINAL,
                                      EXIF_FORMAT_ASCII, sizeof "YYYY:MM:DD HH:MM:SS" - 1);
    static const char form[] = "0000:00:00 00:00:00";
    int part[6] = {0}, n = 0;

    if (entry == NULL)
        return;
    for (gsize i = 0; i < sizeof form - 1; i++) {
        const char c = (char)entry->data[i];

        if (form[i] == '0' ? !g_ascii_isdigit(c) : c != form[i])
            return;
        if (form[i] == '0')
            part[n] = part[n] * 10 + g_ascii_digit_value(c);
        else
            n++;
    }
    if (part[0] < FIRST_YEAR || part[3] > 23 || part[4] > 59)
        return;
    facts->day = spl_day_from_ymd(part[0], part[1], part[2]);
    if (spl_day_is_set(facts->day))
        facts->minute = part[3] * 60 + part[4];
}

/* Degrees, minutes, seconds and which side; NAN: not said. */
static double angle(ExifData *data, int tag, int ref, char negative, double most,
                    ExifByteOrder order)
{
    const ExifEntry *entry = entry_of(data, EXIF_IFD_GPS, tag, EXIF_FORMAT_RATIONAL, 3);
    const ExifEntry *side = entry_of(data, EXIF_IFD_GPS, ref, EXIF_FORMAT_ASCII, 1);
    double degrees;

    if (entry == NULL || side == NULL)
        return NAN;
    degrees = rational(entry, 0, order) + rational(entry, 1, order) / 60 +
              rational(entry, 2, order) / 3600;
    if (!(degrees >= 0 && degrees <= most))
        return NAN;
    return (char)g_ascii_toupper((char)side->data[0]) == negative ? -degrees : degrees;
}

/* A position of nought and nought is one that was taken out. */
static void read_place(ExifData *data, struct spl_photo_facts *facts)
{
    const ExifByteOrder order = exif_data_get_byte_order(data);
    const double lat = angle(data, LAT, LAT_REF, 'S', 90, order);
    const double lon = angle(data, LON, LON_REF, 'W', 180, order);
    const ExifEntry *error =
        entry_of(data, EXIF_IFD_GPS, POSITIONING_ERROR, EXIF_FORMAT_RATIONAL, 1);
    double metres;

    if (isnan(lat) || isnan(lon) || (lat == 0 && lon == 0))
        return;
    facts->lat = lat;
    facts->lon = lon;
    metres = error != NULL ? rational(error, 0, order) : NAN;
    if (metres >= 0 && metres <= 1e6)
        facts->accuracy_m = metres;
}

void spl_photo_exif(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                    int *orientation)
{
    ExifData *data = size <= G_MAXUINT ? exif_data_new_from_data(bytes, (unsigned)size) : NULL;
    const ExifEntry *entry;
    int said = 0;

    *orientation = 1;
    if (data == NULL)
        return;
    read_day(data, facts);
    read_place(data, facts);
    entry = entry_of(data, EXIF_IFD_0, EXIF_TAG_ORIENTATION, EXIF_FORMAT_SHORT, 1);
    if (entry != NULL)
        said = exif_get_short(entry->data, exif_data_get_byte_order(data));
    if (said >= 1 && said <= 8)
        *orientation = said;
    exif_data_unref(data);
}
