import type { Moment } from '../../numbers/moment';

const DAY = new Intl.DateTimeFormat('en-GB', { weekday: 'long', day: 'numeric', month: 'long' });
const DAY_AND_YEAR = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });

/** `Today`, `Yesterday`, `Monday 23 November`, or as it was written. */
function day(moment: Moment, now = new Date()): string {
    if (!moment.date) return moment.day === '' ? 'No day said' : moment.day.charAt(0).toUpperCase() + moment.day.slice(1);
    const midnight = (date: Date): number => new Date(date.getFullYear(), date.getMonth(), date.getDate()).getTime();
    const ago = Math.round((midnight(now) - midnight(moment.date)) / 86_400_000);
    if (ago === 0) return 'Today';
    if (ago === 1) return 'Yesterday';
    return ago > 0 && ago < 300 ? DAY.format(moment.date) : DAY_AND_YEAR.format(moment.date);
}

export const lists = {
    day,
    /** `yesterday, 17:02` */
    moment: (moment: Moment, now = new Date()): string => {
        const said = day(moment, now);
        const small = ['Today', 'Yesterday'].includes(said) ? said.toLowerCase() : said;
        return moment.time === '' ? small : `${small}, ${moment.time}`;
    },
};
