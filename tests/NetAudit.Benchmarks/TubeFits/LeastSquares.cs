using MathNet.Numerics.LinearAlgebra;

namespace NetAudit.Benchmarks.TubeFits;

/// <summary>Levenberg-Marquardt with a central-difference Jacobian; deterministic.</summary>
internal static class LeastSquares
{
    private const int MaximumRounds = 400;

    /// <summary>Parameters that make the sum of squared <paramref name="residuals"/> least, starting at <paramref name="start"/>.</summary>
    public static double[] Minimise(Func<double[], double[]> residuals, double[] start)
    {
        var at = (double[])start.Clone();
        var now = Vector<double>.Build.Dense(residuals(at));
        var cost = now.DotProduct(now);
        var damping = 1e-2;
        for (var round = 0; round < MaximumRounds && damping < 1e12; round++)
        {
            var jacobian = Jacobian(residuals, at, now.Count);
            var normal = jacobian.TransposeThisAndMultiply(jacobian);
            var slope = jacobian.TransposeThisAndMultiply(now);
            var before = cost;
            while (damping < 1e12)
            {
                var damped = normal.Clone();
                for (var i = 0; i < at.Length; i++)
                {
                    damped[i, i] += damping * (normal[i, i] + 1e-9);
                }
                var step = damped.Solve(slope);
                var tried = at.Select((value, i) => value - step[i]).ToArray();
                var there = Vector<double>.Build.Dense(residuals(tried));
                var newCost = there.DotProduct(there);
                if (newCost < cost)
                {
                    (at, now, cost) = (tried, there, newCost);
                    damping = Math.Max(damping / 5, 1e-12);
                    break;
                }
                damping *= 4;
            }
            if (before - cost < 1e-13 * before)
            {
                break;
            }
        }
        return at;
    }

    private static Matrix<double> Jacobian(
        Func<double[], double[]> residuals,
        double[] at,
        int rows
    )
    {
        var jacobian = Matrix<double>.Build.Dense(rows, at.Length);
        for (var column = 0; column < at.Length; column++)
        {
            var step = 1e-6 * Math.Max(1, Math.Abs(at[column]));
            var moved = (double[])at.Clone();
            moved[column] = at[column] + step;
            var above = residuals(moved);
            moved[column] = at[column] - step;
            var below = residuals(moved);
            for (var row = 0; row < rows; row++)
            {
                jacobian[row, column] = (above[row] - below[row]) / (2 * step);
            }
        }
        return jacobian;
    }
}
