//! The domes of towns by their distance: made by `tests/reference/make/town_domes.py`.

/// The nearest distance of the table, km; the next ones are in even steps of the
/// logarithm.
pub(super) const NEAREST_KM: f64 = 0.5;
/// The farthest, km.
pub(super) const FARTHEST_KM: f64 = 400.0;
/// Half width of every dome, degrees.
pub(super) const HALF_WIDTH_DEG: f64 = 34.0;
/// Top of every dome, degrees.
pub(super) const TOP_DEG: f64 = 28.0;

/// Natural logarithms of what a lamp lumen adds, cd/m2: at the zenith, and, above an
/// even sky, in the middle of the dome at the horizon.
pub(super) static LN_GLOW: [[f64; 2]; 36] = [
    [-22.3848, -18.0843],
    [-22.6204, -18.2875],
    [-22.8595, -18.4934],
    [-23.1024, -18.7025],
    [-23.3488, -18.9154],
    [-23.5995, -19.1325],
    [-23.8544, -19.3546],
    [-24.1142, -19.5823],
    [-24.3791, -19.8165],
    [-24.6499, -20.0581],
    [-24.9275, -20.3082],
    [-25.2126, -20.5680],
    [-25.5063, -20.8389],
    [-25.8097, -21.1226],
    [-26.1239, -21.4210],
    [-26.4502, -21.7362],
    [-26.7902, -22.0707],
    [-27.1453, -22.4273],
    [-27.5173, -22.8090],
    [-27.9079, -23.2194],
    [-28.3188, -23.6616],
    [-28.7516, -24.1391],
    [-29.2073, -24.6543],
    [-29.6863, -25.2081],
    [-30.1882, -25.7993],
    [-30.7122, -26.4234],
    [-31.2581, -27.0733],
    [-31.8269, -27.7412],
    [-32.4221, -28.4212],
    [-33.0497, -29.1128],
    [-33.7185, -29.8212],
    [-34.4404, -30.5569],
    [-35.2312, -31.3337],
    [-36.1123, -32.1689],
    [-37.1158, -33.0850],
    [-38.2923, -34.1105],
];
