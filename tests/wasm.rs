//! One set of answers, asked for twice: natively and compiled for the browser.
//!
//! The numbers written here are bit patterns, so that "nearly the same" does not pass. Floating point in the core goes
//! through one library (`libm`), never through the platform's own functions, which differ in the last bit. The patterns were
//! computed natively; what is tested is that both sides agree with them.

#[cfg(not(target_arch = "wasm32"))]
use core::prelude::v1::test;
#[cfg(target_arch = "wasm32")]
use wasm_bindgen_test::wasm_bindgen_test as test;

/// Trigonometry gives the same bits on both sides, near nought, in the middle and far out.
#[test]
fn trigonometry_has_the_same_bits() {
    let rows: [(f64, u64, u64, u64); 4] = [
        (
            1e-9,
            0x3e11_2e0b_e826_d695,
            0x3ff0_0000_0000_0000,
            0x3e11_2e0b_e826_d695,
        ),
        (
            0.409_105_176_667_471_3,
            0x3fd9_755d_ed7f_ed28,
            0x3fed_5bf9_052b_f3f7,
            0x3fdb_bf92_fbf6_c55d,
        ),
        (
            1.0,
            0x3fea_ed54_8f09_0cee,
            0x3fe1_4a28_0fb5_068c,
            0x3ff8_eb24_5cbe_e3a6,
        ),
        (
            12_345.678,
            0xbfe6_87d5_8909_74a5,
            0x3fe6_b94c_3bbe_24b8,
            0xbfef_ba58_3632_3a4e,
        ),
    ];
    for (x, sin, cos, tan) in rows {
        assert_eq!(
            (
                libm::sin(x).to_bits(),
                libm::cos(x).to_bits(),
                libm::tan(x).to_bits()
            ),
            (sin, cos, tan),
            "at {x}"
        );
    }
}

/// The inverse functions that find sunrise and the sun's bearing.
#[test]
fn inverse_trigonometry_has_the_same_bits() {
    let rows: [(f64, u64, u64); 3] = [
        (-0.999_999, 0x4009_1f15_dfb8_2062, 0xbfee_b8e4_7ed3_d7a4),
        (0.25, 0x3ff5_1700_e0c1_4b25, 0x3fd5_f41a_af76_86bc),
        (1.0, 0x0000_0000_0000_0000, 0x3fee_b8e5_7b0c_8583),
    ];
    for (x, acos, atan2) in rows {
        assert_eq!(
            (libm::acos(x).to_bits(), libm::atan2(x, 0.7).to_bits()),
            (acos, atan2),
            "at {x}"
        );
    }
}

/// A plan's fingerprint is the same on both sides: an answer that one worked out can be known by the other's question.
#[test]
fn a_fingerprint_has_the_same_bits() {
    let (_, text) = duskline::plan::examples()[0];
    let plan = duskline::plan::read_plan(text).unwrap();
    assert_eq!(
        format!("{:?}", plan.fingerprint()),
        "97842f03582e172fb148d77069328297"
    );
}

/// A measured world is the same on both sides, and what it gives for each reading too.
#[test]
fn a_measured_world_has_the_same_bits() {
    let text = include_str!("../assets/readings/kittiwake-light.json");
    let readings = duskline::fit::read_readings(text).unwrap();
    let found = duskline::fit::fit(&readings);
    let gives = found.gives.iter().map(|gives| gives.unwrap().to_bits());
    assert_eq!(
        gives.take(4).collect::<Vec<u64>>(),
        [
            0x4027_b1f6_0ab5_04f4,
            0x4022_84aa_8955_2782,
            0x4014_1b95_e537_4574,
            0x4025_4f2b_a766_1e58
        ]
    );
    assert_eq!(found.next.unwrap().at.second, 21_600);
    assert_eq!(found.sure[4].1, (12.42, 12.68));
}

/// A draft is the same on both sides: how many circuits were met, and the first plan, to the last wire.
#[test]
fn a_draft_has_the_same_bits() {
    let order = include_str!("../assets/orders/tide-house.json");
    let order = duskline::draft::read_order(order).unwrap();
    let found = duskline::draft::draft(&order);
    assert_eq!((found.steps, found.plans.len()), (268, 6));
    let first = &found.plans[0];
    assert_eq!((first.materials_sum, first.holds), (57, Some(25_992_529)));
    assert_eq!(
        format!("{:?}", first.plan.fingerprint()),
        "604b149ed8b2335e74c2b4e778b82c6e"
    );
}
