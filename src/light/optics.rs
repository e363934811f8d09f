//! Lens and sensor as the light layer needs them.

use super::error::{LightError, in_range};
use crate::scene::Camera;

/// A rectilinear lens on a sensor, checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Optics {
    focal_mm: f64,
    f_number: f64,
    sensor_width_mm: f64,
    sensor_height_mm: f64,
    pixel_pitch_um: f64,
}

impl Optics {
    /// A lens on a sensor in landscape position.
    ///
    /// Focal length 1 to 3000 mm, f-number 0.5 to 128, sensor sides 1 to
    /// 200 mm, pixel pitch 0.5 to 50 micrometres.
    ///
    /// # Errors
    /// [`LightError::OutOfRange`] for anything else, NaN included.
    pub fn new(
        focal_mm: f64,
        f_number: f64,
        sensor_mm: [f64; 2],
        pixel_pitch_um: f64,
    ) -> Result<Self, LightError> {
        let [width, height] = sensor_mm;
        Ok(Self {
            focal_mm: in_range("focal length (mm)", focal_mm, 1.0, 3000.0, "1 to 3000")?,
            f_number: in_range("f-number", f_number, 0.5, 128.0, "0.5 to 128")?,
            sensor_width_mm: in_range("sensor width (mm)", width, 1.0, 200.0, "1 to 200")?,
            sensor_height_mm: in_range("sensor height (mm)", height, 1.0, 200.0, "1 to 200")?,
            pixel_pitch_um: in_range(
                "pixel pitch (micrometres)",
                pixel_pitch_um,
                0.5,
                50.0,
                "0.5 to 50 (sensor width over pixels across)",
            )?,
        })
    }

    /// Focal length, mm.
    pub fn focal_mm(&self) -> f64 {
        self.focal_mm
    }

    /// f-number.
    pub fn f_number(&self) -> f64 {
        self.f_number
    }

    /// Sensor width in landscape position, mm.
    pub fn sensor_width_mm(&self) -> f64 {
        self.sensor_width_mm
    }

    /// Sensor height in landscape position, mm.
    pub fn sensor_height_mm(&self) -> f64 {
        self.sensor_height_mm
    }

    /// Distance from pixel to pixel, micrometres.
    pub fn pixel_pitch_um(&self) -> f64 {
        self.pixel_pitch_um
    }

    /// What an angle about the middle of the frame measures on the sensor, mm.
    pub fn image_mm(&self, angle_deg: f64) -> f64 {
        2.0 * self.focal_mm * (0.5 * angle_deg).to_radians().tan()
    }

    /// The same in pixels.
    pub fn image_px(&self, angle_deg: f64) -> f64 {
        1000.0 * self.image_mm(angle_deg) / self.pixel_pitch_um
    }

    /// How many times the sensor's diagonal goes into that of 36 x 24 mm.
    pub fn crop_factor(&self) -> f64 {
        36f64.hypot(24.0) / self.sensor_width_mm.hypot(self.sensor_height_mm)
    }
}

impl TryFrom<&Camera> for Optics {
    type Error = LightError;

    /// The optics of a site's camera; the pitch is sensor width over pixels.
    fn try_from(camera: &Camera) -> Result<Self, LightError> {
        let [across, down] = camera.pixels.map(f64::from);
        in_range("pixels down", down, 1.0, 1e6, "1 to 1000000")?;
        Self::new(
            camera.focal_mm,
            camera.f_number,
            camera.sensor_mm,
            1000.0 * camera.sensor_mm[0] / across,
        )
    }
}
